"""What is not known, what is weakly known, and what waits for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from countwheel.emit.shown import WEAK, Shown, path_words, show
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.model.values import Unknown


@dataclass(frozen=True, slots=True)
class Gap:
    """A fact that is missing: the words of its path, what is known all the same, and the titles that wait."""

    path: str
    where: tuple[str, ...]
    said: Shown | None  # None where the description does not speak of it
    waiting: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Weak:
    """A value that rests on weak evidence."""

    where: tuple[str, ...]
    value: Shown


@dataclass(frozen=True, slots=True)
class Gaps:
    unknown: tuple[Gap, ...]  # the description says `?`
    unstated: tuple[Gap, ...]  # some figure waits for it and the description says nothing
    weak: tuple[Weak, ...]
    unstated_more: int  # facts of that kind that are left out, those for which least waits

    @property
    def none(self) -> bool:
        return not (self.unknown or self.unstated or self.weak)


# A page of facts that nobody stated is read; more are not.
_MOST_UNSTATED = 24


def gaps_of(clock: Clock, figures: Mapping[str, Figure]) -> Gaps:
    held: dict[str, list[str]] = {}
    waiting = [figure for figure in figures.values() if figure.waits]
    for figure in waiting:
        for path in figure.waits_for:
            held.setdefault(path, []).append(figure.title)
    unknown = [
        Gap(path, path_words(path), shown, tuple(dict.fromkeys(held.get(path, ()))))
        for path, shown in _unknown(clock.root)
    ]
    said = {gap.path for gap in unknown}
    # A figure can wait for another figure; that one's own facts are listed, not its name.
    unstated = [
        Gap(path, path_words(path), None, tuple(dict.fromkeys(titles)))
        for path, titles in held.items()
        if path not in said and path not in figures
    ]
    unstated.sort(key=lambda gap: -len(gap.waiting))  # what tells most comes first
    kept, left = unstated[:_MOST_UNSTATED], unstated[_MOST_UNSTATED:]
    return Gaps(tuple(unknown), tuple(kept), tuple(_weak(clock.root)), len(left))


def _facts(node: Node) -> Iterator[Node]:
    for fact in node.facts:
        if fact.word not in ("log", "season", "expect", "countwheel"):
            yield fact
            yield from _facts(fact)


def _unknown(root: Node) -> Iterator[tuple[str, Shown]]:
    for node in _facts(root):
        for part, value in node.values.items():
            shown = show(node, part)
            if isinstance(value, Unknown) and shown:
                yield node.path if part in ("value", "teeth") else f"{node.path} ({part})", shown
        if not node.values and node.evidence.lost:
            yield node.path, Shown("", node.path, lost=True)


def _weak(root: Node) -> Iterator[Weak]:
    for node in _facts(root):
        for part, value in node.values.items():
            shown = show(node, part)
            if shown and shown.known and not isinstance(value, Unknown) and (shown.how in WEAK or shown.weak):
                yield Weak(path_words(node.path), shown)
