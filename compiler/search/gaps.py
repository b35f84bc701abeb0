"""What is unknown or weak, what each of it holds up, and what to measure first.

What a fact would settle is worked out and not laid down. A figure that waits for
several facts is credited to each of them in equal shares: over all orders in which they may be
found, each is as often the last as any other. A figure that is known, but
loosely, is credited with the part by which its standard uncertainty would shrink if the fact were measured as
well as can be had there; the candidates for lost counts with the share of them that would fall on the average.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from countwheel.figures.record import Figure
from countwheel.figures.terms import evidence_text
from countwheel.forms import Part, pattern
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.model.values import Count, Counts, Number, Quantity, Unknown, Value
from countwheel.search.filling import ASIDE, entries_below, nearest_owner, owners_of
from countwheel.search.gap import Gap, Gaps, Holds, in_unit, short
from countwheel.search.measuring import Means, is_known, means, needs_going, place
from countwheel.vocabulary import Entry, load

if TYPE_CHECKING:
    from countwheel.search.find import Findings, Found

WEAK = frozenset({"told", "estimated", "assumed"})
# Well enough is what brings this part of all that the best measurement would settle.
ENOUGH = 0.9
# Of a fact that is well known it is worth telling only where a figure would be settled by this much.
WORTH = 0.5
_RECORDS = ("log", "season", "expect", "countwheel", "contact", "care", "photo", "procedure", "rota")


def gaps(
    clock: Clock,
    figures: Mapping[str, Figure],
    full: Mapping[str, Figure],
    full_clock: Clock,
    missing: tuple[str, ...],
    needed: Iterable[str],
    found: Found | None = None,
) -> Gaps:
    """The gaps of a clock.

    `figures` are those of the description, `full` and `full_clock` those of the same with every gap filled
    (filling.py); `missing` are the paths of which nothing is said, `needed` those that some figure waits for on the
    way from the one to the other, `found` what lost counts can be.
    """
    return _Gaps(clock, figures, full, full_clock, missing, needed, found).all()


class _Gaps:
    def __init__(
        self,
        clock: Clock,
        figures: Mapping[str, Figure],
        full: Mapping[str, Figure],
        full_clock: Clock,
        missing: tuple[str, ...],
        needed: Iterable[str],
        found: Found | None,
    ) -> None:
        self.clock = clock
        self.figures = figures
        self.full = full
        self.owners = owners_of(clock)
        self.full_owners = owners_of(full_clock)
        self.groups = found.groups if found is not None else ()
        self.unknown = dict(_unknown(clock.root))
        self.missing = dict.fromkeys(
            path for path in missing if path not in self.unknown and path not in figures
        )
        self.needed = {path for raw in needed for path in (raw, raw.partition(" (")[0])}
        self.holds = self._holds()
        self.resting: dict[str, list[Figure]] = {}
        for figure in figures.values():
            for given in dict.fromkeys(one.path.partition(" (")[0] for one in figure.inputs):
                if figure.value is not None:
                    self.resting.setdefault(given, []).append(figure)

    def all(self) -> Gaps:
        made = [self._unknown_gap(path, node, part) for path, (node, part) in self.unknown.items()]
        made += [self._missing_gap(path) for path in self.missing]
        made += self._weak()
        made = [*self._counted(made), *self._between_arbors()]
        stopped = self.clock.fact("clock", "stopped since") is not None
        if stopped:
            made = [replace(gap, waits=needs_going(gap.word)) for gap in made]
        made.sort(key=lambda gap: (-gap.worth, -gap.settles, -gap.rests, gap.path))
        known = sum(1 for figure in self.figures.values() if figure.value is not None)
        ids = {id for id, figure in self.full.items() if figure.value is not None}
        ids |= {id for id, figure in self.figures.items() if figure.value is None}
        waiting = sum(1 for id in ids if id not in self.figures or self.figures[id].value is None)
        return Gaps(tuple(made), known, waiting)

    # -- what waits ------------------------------------------------------------
    def _holds(self) -> dict[str, list[Holds]]:
        """For each missing fact the figures that wait for it, now or when others are known."""
        # what a figure takes into account where it is there, and does without where it is not, holds nothing up
        # nor does a count that follows from the others
        lacking = {
            path: None
            for path in (*self.unknown, *self.missing)
            if path in self.needed and f"{path}.teeth" not in self.figures
        }
        held: dict[str, list[Holds]] = {}
        for id in dict.fromkeys((*self.figures, *self.full)):
            now, then = self.figures.get(id), self.full.get(id)
            if now is not None and now.value is not None:
                continue
            waits = [] if now is None else list(now.waits_for)
            if then is not None:
                waits += [given.path for given in then.inputs]
            several = list(dict.fromkeys(path for raw in waits if (path := _plain(raw, lacking)) is not None))
            title = (now or then).title if (now or then) is not None else id  # type: ignore[union-attr]
            for path in several:
                held.setdefault(path, []).append(Holds(id, title, 1 / len(several)))
        return held

    def _unknown_gap(self, path: str, node: Node, part: str) -> Gap:
        value = node.values.get(part) if part else None
        written = value.written.lstrip("? ") if isinstance(value, Unknown) else ""
        lost = node.evidence.lost or node.get("lost") is not None or self._is_lost(path.partition(" (")[0])
        entry = self._entry(node)
        made = self._made(path, "unknown", node.word, entry, self._words(path, node.word), lost)
        return replace(made, written=written, how="lost" if lost else "not known")

    def _missing_gap(self, path: str) -> Gap:
        plain = aside[1] if (aside := ASIDE.match(path)) else path
        owner, steps = nearest_owner(plain, self.owners)
        entries = entries_below(owner, steps) if owner is not None else []
        entry = entries[-1] if entries else None
        word = entry.word if entry is not None else plain.rsplit(".", 1)[-1].replace("_", " ")
        lost = owner is not None and self._is_lost(plain)
        return self._made(path, "not stated", word, entry, self._words(plain, word), lost)

    def _made(
        self, path: str, kind: str, word: str, entry: Entry | None, words: tuple[str, ...], lost: bool
    ) -> Gap:
        aside = ASIDE.match(path)
        filled = self.full_owners.get(aside["path"] if aside else path)
        value = filled.values.get(aside["part"] if aside else "value") if filled is not None else None
        if filled is not None and value is None and not aside:
            value = filled.values.get("teeth")
        how = means(word, _kind(entry, value), self._size(path, value))
        return Gap(
            path,
            kind,
            word,
            entry.meaning if entry is not None else "",
            "",
            "",
            lost,
            place(words),
            how,
            self._enough(path, value, how, self.full, self._used(value)),
            tuple(self.holds.get(path, ())),
        )

    def _size(self, path: str, value: Value | None) -> float:
        """About how large a value is, in SI, by the filled one or by the limits of what is not known."""
        if isinstance(value, Quantity):
            return value.si
        node, part = self.unknown.get(path, (None, ""))
        limits = node.values.get(part) if node is not None else None
        if not isinstance(limits, Unknown):
            return 0.0
        return limits.about or limits.high or max(limits.choices, default=0.0)

    def _is_lost(self, path: str) -> bool:
        steps = path.split(".")
        for cut in range(1, len(steps)):
            node = self.owners.get(".".join(steps[:cut]))
            if node is not None and (node.evidence.lost or node.get("lost") is not None):
                return True
        return False

    def _words(self, path: str, word: str) -> tuple[str, ...]:
        """The words of the facts on the way to a path, its own last."""
        steps = path.split(".")
        above = [self.owners.get(".".join(steps[:cut])) for cut in range(1, len(steps))]
        return (*(node.word for node in above if node is not None), word)

    def _entry(self, node: Node) -> Entry | None:
        words = load()
        owner = next((one for one in self.owners.values() if any(fact is node for fact in one.facts)), None)
        block = owner.word if owner is not None else "movement"
        return words.under(block).get(node.word) if words.may_own(block) else None

    # -- what is weak ------------------------------------------------------------
    def _weak(self) -> Iterator[Gap]:
        """Facts that are known, but weakly; and those that make most of a figure's uncertainty."""
        shares: dict[str, list[tuple[Figure, float]]] = {}
        for figure in self.figures.values():
            for path, share in figure.budget.items():
                shares.setdefault(path, []).append((figure, share))
        told: set[tuple[str, int]] = set()
        for node in self.clock.root.walk():
            # dials stated in one line share their facts, which are measured once
            if node.word in _RECORDS or not node.path or (node.span.file, node.span.start) in told:
                continue
            told.add((node.span.file, node.span.start))
            value = node.value or node.values.get("teeth")
            if not isinstance(value, (Quantity, Count, Counts, Number)):
                continue
            evidence = value.evidence if value.evidence.how != "unstated" else node.evidence
            weak = evidence.how in WEAK or evidence.doubted is not None
            held = self._surer(node, value, shares.get(node.path, []))
            if not weak and max((one.settles for one in held), default=0.0) < WORTH:
                continue
            entry = self._entry(node)
            made = self._made(
                node.path, "weak", node.word, entry, self._words(node.path, node.word), evidence.lost
            )
            si = value.si if isinstance(value, Quantity) else 0.0
            how = means(node.word, _kind(entry, value), si)
            enough = self._enough(node.path, value, how, self.figures)
            rests = len(self.resting.get(node.path, ())) if weak else 0
            yield replace(
                made,
                written=value.written,
                how=evidence_text(evidence),
                lost=made.lost or self._is_lost(node.path),
                means=how,
                enough=enough,
                holds=held,
                rests=rests,
                firm=not weak,
            )

    def _surer(self, node: Node, value: Value, shares: list[tuple[Figure, float]]) -> tuple[Holds, ...]:
        if not isinstance(value, (Quantity, Number)) or value.tolerance is None:
            return ()
        size = value.si if isinstance(value, Quantity) else value.value
        kind = value.dimension if isinstance(value, Quantity) else "number"
        best = means(node.word, kind, size).half_width(size)
        left = min(1.0, best / value.tolerance.half_width) if value.tolerance.half_width else 1.0
        found = [Holds(figure.id, figure.title, surer(share, left)) for figure, share in shares]
        return tuple(one for one in found if one.settles > 0.005)

    def _used(self, value: Value | None) -> tuple[str, ...]:
        """The units in which the keeper wrote such sizes, the most used first: what is lacking is told in them."""
        if not isinstance(value, Quantity) or value.dimension not in ("length", "mass"):
            return ()
        found = Counter(
            one.unit
            for node in self.owners.values()
            for fact in node.facts
            for one in fact.values.values()
            if isinstance(one, Quantity) and one.dimension == value.dimension
        )
        return tuple(unit for unit, _ in found.most_common())

    def _enough(
        self,
        path: str,
        value: Value | None,
        how: Means,
        figures: Mapping[str, Figure],
        used: Sequence[str] = (),
    ) -> str:
        """The half-width that brings nine tenths of what the best that can be had would settle."""
        if isinstance(value, Number):
            return f"± {short(how.half_width(value.value))}" if how.half_width(value.value) else ""
        if not isinstance(value, Quantity):
            return ""
        best = how.half_width(value.si)
        now = value.tolerance.half_width if value.tolerance is not None else 0.0
        shares = [share for figure in figures.values() if (share := figure.budget.get(path, 0.0)) > 0]
        if best >= now or not shares:
            return in_unit(best, value, used)
        wanted = ENOUGH * math.fsum(surer(share, best / now) for share in shares)
        low, high = best, now
        for _ in range(40):
            middle = (low + high) / 2
            if math.fsum(surer(share, middle / now) for share in shares) >= wanted:
                low = middle
            else:
                high = middle
        return in_unit(low, value, used)

    # -- candidates ----------------------------------------------------------------
    def _counted(self, made: list[Gap]) -> Iterator[Gap]:
        """The gaps, with the candidates that each count would strike out."""
        falls: dict[str, float] = {}
        for group in self.groups:
            for measurement in group.measurements:
                if measurement.kind in ("count", "beat"):
                    falls[measurement.path] = max(
                        falls.get(measurement.path, 0.0), _falls(group, measurement.left)
                    )
        for gap in made:
            yield replace(gap, candidates=falls.get(gap.path, 0.0)) if gap.path in falls else gap

    def _between_arbors(self) -> Iterator[Gap]:
        for group in self.groups:
            for one in group.measurements:
                if one.kind == "centre distance":
                    yield Gap(
                        one.path,
                        "not stated",
                        "centre distance",
                        one.what,
                        "",
                        "",
                        False,
                        place(("arbor",)),
                        means("centre distance", "length", 0.1),
                        f"{100 * one.tolerance:.1g} %" if one.tolerance else "",
                        (),
                        _falls(group, one.left),
                        what=one.what,
                    )


def surer(share: float, left: float) -> float:
    """By how much a standard uncertainty shrinks, as a part of it.

    `share` of its variance comes from the one input whose half-width shrinks to `left` of what it was (first order).
    """
    return 1 - math.sqrt(max(0.0, 1 - share + share * left * left))


def _falls(group: Findings, left: float) -> float:
    """The share of a group's candidates that would fall, for each of its lost counts."""
    return (1 - left / len(group.candidates)) * len(group.lost)


def _plain(path: str, lacking: Mapping[str, object]) -> str | None:
    """The missing fact that a figure's input or what it waits for tells of."""
    if path in lacking:
        return path
    bare = path.partition(" (")[0]
    return bare if bare in lacking else None


def _unknown(root: Node) -> Iterator[tuple[str, tuple[Node, str]]]:
    """Each part of a fact that is said not to be known, by its public path; each part that is lost."""
    for node in root.facts:
        if node.word in _RECORDS:
            continue
        parts = [part for part, value in node.values.items() if isinstance(value, Unknown)]
        for part in parts:
            aside = "" if part in ("value", "teeth", "kind", "material") else f" ({part})"
            yield f"{node.path}{aside}", (node, part)
        if not parts and node.word != "lost" and (node.evidence.lost or node.get("lost") is not None):
            yield node.path, (node, "")
        yield from _unknown(node)


def _kind(entry: Entry | None, value: Value | None) -> str:
    """What kind of value a fact takes, for the means of finding it out."""
    if isinstance(value, Quantity):
        return value.dimension
    if isinstance(value, (Count, Counts)):
        return "count"
    if isinstance(value, Number):
        return "number"
    kinds = (
        [part.kind for part in pattern(entry.takes) if isinstance(part, Part)] if entry is not None else []
    )
    return next((kind for kind in kinds if is_known(kind)), "word")
