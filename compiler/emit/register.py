"""The evidence register: every fact of a description with how it is known, when, by whom and from what.

`facts_of` gathers the rows; `build_register` makes the paper of them, worded in
`templates/manual/register.xml.j2`. Texts, the log, expectations and addresses are no facts about the clock.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from countwheel.emit.clean import printable_text
from countwheel.emit.document import Block, Document
from countwheel.emit.markup import read_blocks
from countwheel.emit.naming import Names
from countwheel.emit.paper import paper
from countwheel.emit.phrase import phrase
from countwheel.emit.stated import main_value
from countwheel.emit.templating import environment, wording
from countwheel.figures.disagreement import differences
from countwheel.figures.terms import STANDINGS
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.model.values import UNSTATED, AnyValue, Number, Quantity, Text, Unknown, Words
from countwheel.source import Source

_NO_FACTS = frozenset(
    {"countwheel", "remark", "history", "procedure", "log", "expect", "contact", "photo", "include", "rota"}
)


# The words for how a value is known, in the order that a summary gives them.
ORDER = (*STANDINGS[:-1], "unknown")


@dataclass(frozen=True, slots=True)
class Recorded:
    """One recorded value: of the part `group`, what it is in a keeper's words, the value as written.

    `how` is the word of the description, 'unstated' where there is none, 'unknown' for a bare `?`.
    `on` is an ISO date, month or year; `file` is told from the description's own folder. `holds` is
    False for a value recorded beside the one that holds; of such a one `apart`, `allowed` and `agrees`
    tell how it compares ('' and None where it cannot be told).
    """

    group: str
    path: str
    what: str
    value: str
    tolerance: str
    how: str
    on: str
    by: str
    source: str
    doubted: str
    lost: bool
    perhaps: bool
    remark: str
    file: str
    line: int | None
    holds: bool = True
    apart: str = ""
    allowed: str = ""
    agrees: bool | None = None


@dataclass(frozen=True, slots=True)
class Share:
    """How many recorded values one person, source or year stands for, with the first and last date."""

    name: str
    number: int
    first: str
    last: str


@dataclass(frozen=True, slots=True)
class Summary:
    """The whole register in numbers; `how` counts the values that hold, from the best known to the least.

    `disagreeing` are those recorded beside the one that holds that are not doubted and yet not the same.
    """

    facts: int
    others: int
    how: tuple[tuple[str, int], ...]
    doubted: int
    lost: int
    disagreeing: int
    people: tuple[Share, ...]
    sources: tuple[Share, ...]
    years: tuple[Share, ...]
    oldest: tuple[Recorded, ...]


# -- gathering ---------------------------------------------------------------------
def facts_of(clock: Clock, sources: Mapping[str, Source]) -> tuple[Recorded, ...]:
    """Every recorded value, part by part in the order written; below each what is also recorded of it."""
    names = Names(clock)
    folder = clock.file[: clock.file.rfind("/") + 1]
    rows = [row for owner, node in _facts(clock.root) for row in _rows(owner, node, names, sources, folder)]
    groups = {group: place for place, group in enumerate(dict.fromkeys(row.group for row in rows))}
    return tuple(sorted(rows, key=lambda row: groups[row.group]))


def _facts(owner: Node) -> Iterator[tuple[Node, Node]]:
    for node in owner.facts:
        if node.word not in _NO_FACTS:
            yield owner, node
            yield from _facts(node)


def _rows(
    owner: Node, node: Node, names: Names, sources: Mapping[str, Source], folder: str
) -> Iterator[Recorded]:
    if not _parts(node) and (node.facts or node.label) and node.evidence == UNSTATED:
        return  # only a heading over other facts
    what, group = names.part(node.path, node.word), names.owner(node.path.partition(".")[0])
    yield _row(owner, node, sources, what, group, folder)
    for other in node.others:
        found = tuple(differences(node, other))
        told = next((one for one in found if not one.agrees), found[0] if found else None)
        row = _row(owner, other, sources, what, group, folder)
        yield replace(
            row,
            holds=False,
            apart=told.apart if told else "",
            allowed=told.allowed if told else "",
            agrees=told.agrees if told else None,
        )


def _row(
    owner: Node, node: Node, sources: Mapping[str, Source], what: str, group: str, folder: str
) -> Recorded:
    parts, evidence = _parts(node), node.evidence
    # how often something is to be done was never measured
    exact = () if owner.word == "care" else parts.values()
    tolerances = (value.tolerance for value in exact if isinstance(value, (Quantity, Number)))
    unknown = isinstance(main_value(node), Unknown)
    # What holds may stand on a line below the word.
    span = next((value.span for value in parts.values()), node.span)
    source = sources.get(span.file)
    return Recorded(
        group=group,
        path=node.path,
        what=what,
        value=_written(owner, node, parts),
        tolerance="; ".join(tolerance.written for tolerance in tolerances if tolerance),
        how="unknown" if unknown and evidence.how == "unstated" else evidence.how,
        on=evidence.on or "",
        by=evidence.by or "",
        source=evidence.source or "",
        doubted=evidence.doubted or "",
        lost=evidence.lost or node.get("lost") is not None,
        perhaps=evidence.perhaps,
        remark=" ".join(" ".join((note.text() or "").split()) for note in node.all("remark")),
        file=span.file.removeprefix(folder),
        line=source.place(span.start).line if source else None,
    )


def _parts(node: Node) -> dict[str, AnyValue]:
    """The parts of the value, without the name that tells several apart."""
    return {
        part: value
        for part, value in node.values.items()
        if not (node.label and isinstance(value, Words) and value.text == node.label)
    }


def _written(owner: Node, node: Node, parts: Mapping[str, AnyValue]) -> str:
    """The value as the keeper wrote it; a word that stands alone is its own value."""
    if not parts:
        return node.written
    told = {
        part: value.text if isinstance(value, (Words, Text)) else value.written
        for part, value in parts.items()
    }
    unknown = all(isinstance(value, Unknown) for value in parts.values())
    if unknown and len(set(told.values())) == 1:  # `jack ?` says it of every part
        return next(iter(told.values()))
    return " ".join(phrase(node, owner.word, told).split())


# -- counting -----------------------------------------------------------------------
def summary_of(rows: Sequence[Recorded]) -> Summary:
    """The register in numbers. People, sources and years are counted over all recorded values, held or not."""
    held = [row for row in rows if row.holds]
    how = Counter(row.how for row in held)
    dated = sorted(row.on for row in rows if row.on)
    return Summary(
        facts=len(held),
        others=len(rows) - len(held),
        how=tuple((word, how[word]) for word in ORDER if how[word]),
        doubted=sum(1 for row in held if row.doubted),
        lost=sum(1 for row in held if row.lost),
        disagreeing=sum(1 for row in rows if row.agrees is False and not row.doubted),
        people=_shares(rows, lambda row: row.by),
        sources=_shares(rows, lambda row: row.source),
        years=_shares(rows, lambda row: row.on[:4]),
        oldest=tuple(row for row in rows if dated and row.on == dated[0]),
    )


def _shares(rows: Sequence[Recorded], of: Callable[[Recorded], str]) -> tuple[Share, ...]:
    """By name, in the order of the alphabet (of years: of time); values without one are left out."""
    found: dict[str, list[str]] = {}
    for row in rows:
        if of(row):
            found.setdefault(of(row), []).append(row.on)
    shares = []
    for name, dates in sorted(found.items()):
        dated = sorted(date for date in dates if date)
        shares.append(Share(name, len(dates), *((dated[0], dated[-1]) if dated else ("", ""))))
    return tuple(shares)


# -- on paper -----------------------------------------------------------------------
MOST_ROWS = 5000  # on paper: ten times those of a large clock; the CSV has them all


def build_register(clock: Clock, sources: Mapping[str, Source]) -> Document:
    """The register as a content tree: a summary, then a chapter for each part of the clock.

    Raises `MarkupError` or a jinja2 error only for a fault of a template of ours.
    """
    rows = facts_of(clock, sources)
    template = environment().get_template("register.xml.j2")
    words = wording("REGISTER")
    main = clock.file.rpartition("/")[2]

    def blocks(part: str, **given: object) -> tuple[Block, ...]:
        return read_blocks(
            printable_text(template.render(part=part, main=main, **given)), {}, template.name or ""
        )

    groups: dict[str, list[Recorded]] = {}
    for row in rows[:MOST_ROWS]:
        groups.setdefault(row.group, []).append(row)
    made = [(words["summary"], blocks("summary", summary=summary_of(rows)))]
    made += [(group, blocks("group", rows=of)) for group, of in groups.items()]
    numbered = ((f"register-{number}", *one) for number, one in enumerate(made, 1))
    return paper(
        clock,
        words,
        blocks("front", printed=min(len(rows), MOST_ROWS), every=len(rows)),
        numbered,
        dense=True,
    )
