"""What is not known, what is weakly known, and what waits for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from countwheel.emit.naming import Names, within
from countwheel.emit.phrase import phrase
from countwheel.emit.shown import WEAK, Shown, show, value_text
from countwheel.emit.stated import is_lost, limits, main_value
from countwheel.figures.disagreement import differences
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.model.values import Count, Counts, Evidence, Unknown


@dataclass(frozen=True, slots=True)
class Gap:
    """A fact that is missing: what it is of, what is known all the same, and the titles that wait."""

    path: str
    where: str
    known: str
    lost: bool
    waiting: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Weak:
    """A value that rests on weak evidence; `other` where it is recorded beside a better one."""

    where: str
    text: str
    value: Shown
    other: bool


@dataclass(frozen=True, slots=True)
class Gaps:
    unknown: tuple[Gap, ...]  # the description says `?`, or that the part is lost
    unstated: tuple[Gap, ...]  # some figure waits for it and the description says nothing
    weak: tuple[Weak, ...]
    unstated_more: int  # facts of that kind that are left out, those for which least waits
    lost: tuple[str, ...]  # the parts that are lost, by what a keeper calls them

    @property
    def none(self) -> bool:
        return not (self.unknown or self.unstated or self.weak)


# A page of facts that nobody stated is read; more are not.
_MOST_UNSTATED = 24


def gaps_of(clock: Clock, figures: Mapping[str, Figure], names: Names) -> Gaps:
    held = _held(figures, names)
    gone = _lost(clock.root)
    unknown = [_gap(node, part, held, names) for node, part in _unknown(clock.root)]
    told = {path for gap in unknown for path in (gap.path, gap.path.partition(" (")[0])}
    unstated = []
    for path, titles in held.items():
        # A figure can wait for another figure, whose own facts are listed; what there is none of is no gap;
        # and the thread of a nut that is lost can be measured by nobody, as is said where the nut is.
        if not (path in told or path in figures or names.is_denied(path) or within(path, gone)):
            unstated.append(Gap(path, names.part(path), "", False, titles))
    unstated.sort(key=lambda gap: -len(gap.waiting))  # what tells most comes first
    kept, left = unstated[:_MOST_UNSTATED], unstated[_MOST_UNSTATED:]
    lost = tuple(names.phrase(path, word=word) for path, word in gone.items())
    return Gaps(tuple(unknown), tuple(kept), tuple(_weak(clock.root, names)), len(left), lost)


def _held(figures: Mapping[str, Figure], names: Names) -> dict[str, tuple[str, ...]]:
    """The titles of the figures that wait for each path, each title once."""
    held: dict[str, list[str]] = {}
    for figure in figures.values():
        if figure.waits:
            title = names.in_text(figure.title, figure.id.partition(".")[0])
            for path in figure.waits_for:
                held.setdefault(path, []).append(title)
    return {path: tuple(dict.fromkeys(titles)) for path, titles in held.items()}


def _facts(node: Node) -> Iterator[tuple[Node, Node]]:
    """Every fact that may be missing, with the fact that owns it."""
    for inner in node.facts:
        if inner.word not in ("log", "season", "expect", "countwheel"):
            yield node, inner
            yield from _facts(inner)


def _lost(root: Node) -> dict[str, str]:
    """The parts that are lost, by path, with the word of each."""
    return {node.path: node.word for _, node in _facts(root) if node.word != "lost" and is_lost(node)}


def _unknown(root: Node) -> Iterator[tuple[Node, str]]:
    """Each fact with an unknown value and the name of that part of it, and each part that is lost."""
    for _, node in _facts(root):
        if node.word == "lost":  # told with its arbor
            continue
        parts = [part for part, value in node.values.items() if isinstance(value, Unknown)]
        for part in parts:
            yield node, part
        if not parts and is_lost(node):
            yield node, ""


def _gap(node: Node, part: str, held: Mapping[str, tuple[str, ...]], names: Names) -> Gap:
    aside = "" if part in ("", "value", "teeth") or len(node.values) < 2 else f" ({part})"
    lost = is_lost(node)
    waiting = [title for path in (node.path, f"{node.path}.{part}", f"{node.path}{aside}")
               for title in held.get(path, ())]  # fmt: skip
    if lost:
        waiting += [
            title for path, titles in held.items() if path.startswith(f"{node.path}.") for title in titles
        ]
    value = node.values.get(part) if part else main_value(node)
    known = limits(value) if isinstance(value, Unknown) else value_text(value) if value else ""
    return Gap(
        f"{node.path}{aside}",
        f"{names.part(node.path, node.word)}{aside}",
        known,
        lost,
        tuple(dict.fromkeys(waiting)),
    )


# -- weak evidence ---------------------------------------------------------------
def _weak(root: Node, names: Names) -> Iterator[Weak]:
    for owner, node in _facts(root):
        yield from _weak_values(owner, node, names, other=False)
        for also in node.others:
            # Other counts are told in the tables of counts.
            if not any(isinstance(value, (Count, Counts)) for value in also.values.values()):
                apart = {one.part: one for one in differences(node, also)}
                for weak in _weak_values(owner, also, names, other=True):
                    told = next((apart[part] for part in also.values if part in apart), None)
                    yield replace(weak, value=replace(weak.value, apart=told))


def _weak_values(owner: Node, node: Node, names: Names, *, other: bool) -> Iterator[Weak]:
    """The known values of one fact, those that are known in the same way together."""
    alike: dict[Evidence, dict[str, Shown]] = {}
    for part, value in node.values.items():
        shown = show(node, part)
        if shown and shown.known:
            how = value.evidence if value.evidence.how != "unstated" else node.evidence
            alike.setdefault(how, {})[part] = shown
    for values in alike.values():
        first = next(iter(values.values()))
        if first.how in WEAK or first.weak or other:
            text = phrase(node, owner.word, {part: shown.full for part, shown in values.items()})
            yield Weak(names.part(node.path, node.word), text, first, other)
