"""Two trees of facts side by side: what was added, removed, changed, renamed or moved, and how surer it is known.

Facts are told by their paths. A part that bears another name, and otherwise is as it was, is renamed: what lies below
it is then compared under its new name, and is not told again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from countwheel.figures.terms import STANDINGS, evidence_text
from countwheel.model.node import Node
from countwheel.model.values import Evidence, Number, Quantity, Unknown, Value, Words

Kind = Literal["added", "removed", "changed", "renamed", "moved", "surer", "less sure", "known otherwise"]
# Two parts are one under another name if so much of what they say is the same.
ALIKE = 0.6


@dataclass(frozen=True, slots=True)
class Change:
    """One change of one fact. `before` and `after` are as written, '' where there was none; `path` is the later one."""

    kind: Kind
    path: str
    word: str
    before: str
    after: str


def changes(before: Node, after: Node) -> tuple[Change, ...]:
    """All changes from one tree to the other, in the order of the later one, what is gone last of its owner."""
    comparing = _Comparing(dict(new_names(before, after)))
    return tuple(_moves(list(comparing.below(before, after))))


def new_names(before: Node, after: Node) -> Iterator[tuple[str, str]]:
    """The old and the new path of every part that was renamed: other facts may name it."""
    pairs, gone, new = _paired(before, after)
    for one, two in _renamed(gone, new):
        yield one.path, two.path
        pairs.append((one, two))
    for one, two in pairs:
        yield from new_names(one, two)


# -- one fact ----------------------------------------------------------------------
def said(node: Node) -> str:
    """A fact in one line as a keeper would read it: its values as written, without how they are known."""
    return " ".join(
        value.written for name, value in node.values.items() if name != "name" or not node.label
    ).strip()


Names = Mapping[str, str]


def _same_value(one: Value, two: Value, names: Names) -> bool:
    if isinstance(one, Quantity) and isinstance(two, Quantity):
        return one.si == two.si and one.dimension == two.dimension and _stated(one) == _stated(two)
    if isinstance(one, Number) and isinstance(two, Number):
        return one.value == two.value and _stated(one) == _stated(two)
    if isinstance(one, Unknown) and isinstance(two, Unknown):
        parts = ("low", "high", "choices", "parity", "about")
        return all(getattr(one, part) == getattr(two, part) for part in parts)
    if isinstance(one, Words) and isinstance(two, Words) and one.text.lower() != two.text.lower():
        return _renamed_text(one.text, names) == two.text.lower()
    return type(one) is type(two) and _bare(one) == _bare(two)


def _stated(value: Quantity | Number) -> float | None:
    """The tolerance that the keeper states; a usual one goes with how the value is known, which is told by itself."""
    return value.tolerance.half_width if value.tolerance and value.tolerance.stated else None


def _renamed_text(text: str, names: Names) -> str:
    """A path (`going.third.wheel`), or a bare name, as it is since parts bear other names."""
    lower = text.lower()
    for old, new in names.items():
        if lower == old or lower.startswith(f"{old}."):
            return new + lower[len(old) :]
    return lower


def _bare(value: Value) -> dict[str, object]:
    bare = value.model_dump(exclude={"span", "written", "evidence"})
    return bare | (
        {"text": value.text.lower()} if isinstance(value, Words) and not value.written.startswith('"') else {}
    )


def same_values(one: Node, two: Node, names: Names | None = None) -> bool:
    """Whether two facts say the same, however it is written; `names` are new paths of parts by their old ones."""
    return one.values.keys() == two.values.keys() and all(
        _same_value(value, two.values[part], names or {}) for part, value in one.values.items()
    )


def _evidence(node: Node) -> Evidence:
    if node.evidence.how != "unstated" or node.evidence.lost:
        return node.evidence
    return next(
        (value.evidence for value in node.values.values() if value.evidence.how != "unstated"), node.evidence
    )


def _evidences(node: Node) -> list[Evidence]:
    """How each value of a fact is known, in the order of the values; of the same values always as many."""
    return [node.evidence, *(node.values[name].evidence for name in sorted(node.values))]


def _rank(evidence: Evidence, rank: dict[str, int]) -> int:
    return rank["doubted"] if evidence.doubted is not None else rank.get(evidence.how, rank["unstated"])


def _with_evidence(node: Node) -> str:
    evidence = _evidence(node)
    known = evidence_text(evidence)
    return said(node) + (f" ({known})" if known != "unstated" else "")


# -- the facts below one ---------------------------------------------------------------
class _Comparing:
    """Compares two trees; `names` are the new paths of renamed parts by their old ones."""

    def __init__(self, names: Names) -> None:
        self.names = names

    def own(self, before: Node, after: Node) -> Iterator[Change]:
        """What changed in a fact itself: its value, or how it is known; its other recorded values."""
        if not same_values(before, after, self.names):
            yield Change("changed", after.path, after.word, _with_evidence(before), _with_evidence(after))
        else:
            was, now = _evidence(before), _evidence(after)
            if was == now:  # of several values of a line each may be known in its own way
                pairs = zip(_evidences(before), _evidences(after), strict=True)
                was, now = next((pair for pair in pairs if pair[0] != pair[1]), (was, now))
            if was != now:
                rank = {how: at for at, how in enumerate(STANDINGS)}
                step = _rank(was, rank) - _rank(now, rank)
                kind: Kind = "surer" if step > 0 else "less sure" if step < 0 else "known otherwise"
                yield Change(kind, after.path, after.word, evidence_text(was), evidence_text(now))
        first, second = (Counter(_with_evidence(other) for other in node.others) for node in (before, after))
        for text in (first - second).elements():
            yield Change("removed", after.path, after.word, text, "")
        for text in (second - first).elements():
            yield Change("added", after.path, after.word, "", text)

    def below(self, before: Node, after: Node) -> Iterator[Change]:
        pairs, gone, new = _paired(before, after)
        renamed = _renamed(gone, new)
        for one, two in (*pairs, *renamed):
            if (one, two) in renamed:
                yield Change("renamed", two.path, two.word, one.path, two.path)
            yield from self.own(_as_named(one, two), two)
            yield from self.below(one, two)
        matched_old = {id(one) for one, _ in renamed}
        matched_new = {id(two) for _, two in renamed}
        for node in new:
            if id(node) not in matched_new:
                yield Change("added", node.path, node.word, "", _with_evidence(node))
                yield from (
                    Change("added", inner.path, inner.word, "", _with_evidence(inner))
                    for inner in _inside(node)
                )
        for node in gone:
            if id(node) not in matched_old:
                yield Change("removed", node.path, node.word, _with_evidence(node), "")
                yield from (
                    Change("removed", inner.path, inner.word, _with_evidence(inner), "")
                    for inner in _inside(node)
                )


def _inside(node: Node) -> Iterator[Node]:
    for fact in node.facts:
        yield from fact.walk()


def _as_named(one: Node, two: Node) -> Node:
    """A part under its later name, so that the name alone is no change of its value."""
    if one.label == two.label or "name" not in one.values or "name" not in two.values:
        return one
    return one.model_copy(update={"values": {**one.values, "name": two.values["name"]}})


def _paired(before: Node, after: Node) -> tuple[list[tuple[Node, Node]], list[Node], list[Node]]:
    """Facts that are the same by word and label (by value where several are); those gone; those that are new."""
    waiting: dict[tuple[str, str], list[Node]] = {}
    for fact in before.facts:
        waiting.setdefault((fact.word, fact.label or ""), []).append(fact)
    pairs: list[tuple[Node, Node]] = []
    left: list[Node] = []
    # First those that say exactly the same, so that one new line among many is that line.
    for fact in after.facts:
        several = waiting.get((fact.word, fact.label or ""), [])
        same = next((one for one in several if same_values(one, fact)), None)
        if same is None:
            left.append(fact)
        else:
            several.remove(same)
            pairs.append((same, fact))
    new: list[Node] = []
    for fact in left:
        several = waiting.get((fact.word, fact.label or ""), [])
        if several:
            pairs.append((several.pop(0), fact))
        else:
            new.append(fact)
    order = {id(fact): at for at, fact in enumerate(after.facts)}
    pairs.sort(key=lambda pair: order[id(pair[1])])
    kept = {id(one) for one, _ in pairs}
    return pairs, [fact for fact in before.facts if id(fact) not in kept], new


def _renamed(gone: list[Node], new: list[Node]) -> list[tuple[Node, Node]]:
    """Parts that bear another name now and otherwise say mostly the same, the most alike first."""
    scored = [
        (alike(one, two), at, where, one, two)
        for at, one in enumerate(gone)
        for where, two in enumerate(new)
        if one.word == two.word and one.label and two.label
    ]
    found: list[tuple[Node, Node]] = []
    taken: set[int] = set()
    for score, _, _, one, two in sorted(scored, key=lambda entry: (-entry[0], entry[1], entry[2])):
        if score >= ALIKE and not {id(one), id(two)} & taken:
            taken |= {id(one), id(two)}
            found.append((one, two))
    return found


def alike(one: Node, two: Node) -> float:
    """How much of what two parts say is the same, 0 to 1, by the lines below them and their own values."""
    first, second = (sorted(_lines(node)) for node in (one, two))
    left = list(second)
    same = 0
    for line in first:
        if line in left:
            left.remove(line)
            same += 1
    return 2 * same / (len(first) + len(second)) if first or second else 0.0


def _lines(node: Node) -> Iterator[str]:
    own = {part: value for part, value in node.values.items() if part != "name"}
    if own:
        yield f"{node.word}: {' '.join(value.written for value in own.values())}"
    for inner in _inside(node):
        yield f"{inner.word}: {said(inner)}"


# -- what moved --------------------------------------------------------------------------
def _moves(found: list[Change]) -> Iterator[Change]:
    """A fact that went from one owner and came to another, saying the same, has moved."""
    gone = [change for change in found if change.kind == "removed" and change.before]
    moved: dict[int, Change] = {}
    dropped: set[int] = set()
    for change in found:
        if change.kind != "added" or not change.after:
            continue
        twin = next(
            (
                one
                for one in gone
                if one.word == change.word
                and one.before == change.after
                and one.path != change.path
                and id(one) not in dropped
            ),
            None,
        )
        if twin is not None:
            dropped.add(id(twin))
            moved[id(change)] = Change("moved", change.path, change.word, twin.path, change.path)
    for change in found:
        if id(change) not in dropped:
            yield moved.get(id(change), change)
