"""The changes of a chime as they are written: places, bells, gaps, and which hammer sounds which bell."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from countwheel.figures.book import Book, Term, constant
from countwheel.figures.record import Input
from countwheel.figures.striking import SOURCE, changes_of, kind_of, quarters_of
from countwheel.figures.terms import fact_input
from countwheel.model.clock import Train
from countwheel.model.node import Node

REST = "."
TING_TANG = ("1", "2")
# Beckett's own measure, between the 2 of Westminster and the 3 of Cambridge.
GAP, GAP_HALF = 2.5, 0.5
GAP_ASSUMED = ", with a gap of 2 1/2 intervals between changes, which is assumed"
GAP_SOURCE = "E. Beckett, Clocks, Watches and Bells, 1903, page 205: 2 to 3, best 2 1/2"


class Changes(NamedTuple):
    """A chime's quarters. `quarters` holds the places of each by its number, `.` a rest, `36` two bells at once.

    `lines` are the facts they stand in; none where they follow from the kind of striking alone.
    """

    quarters: dict[int, tuple[str, ...]]
    lines: tuple[Node, ...]
    kind: str

    def quarter(self, number: int) -> tuple[str, ...]:
        return self.quarters.get(number, ())

    def changes_in(self, number: int) -> int:
        """How many changes a quarter has: as many as its number, where its places can be shared out so."""
        places = len(self.quarter(number))
        return number if places and places % number == 0 and self.each() else (1 if places else 0)

    def each(self) -> int:
        """Places in one change, where every quarter has as many changes as its number; 0 where it has not."""
        shares = {len(places) / number for number, places in self.quarters.items() if number and places}
        share = shares.pop() if len(shares) == 1 else 0.0
        return int(share) if share == int(share) else 0

    def hour(self) -> tuple[tuple[str, ...], ...]:
        """The changes of an hour one after another, from the first quarter to the last; empty where not equal."""
        each = self.each()
        if not each:
            return ()
        every = [place for number in sorted(self.quarters) for place in self.quarters[number]]
        return tuple(tuple(every[at : at + each]) for at in range(0, len(every), each))

    def bells(self) -> tuple[str, ...]:
        """The bells by their numbers, the highest first."""
        return tuple(sorted({bell for places in self.quarters.values() for bell in "".join(places)} - {REST}))

    def blows(self, bell: str | None = None) -> int:
        """Blows in an hour, of one bell or of all."""
        every = "".join("".join(places) for places in self.quarters.values())
        return every.count(bell) if bell else len(every) - every.count(REST)

    def inputs(self) -> tuple[Input, ...]:
        return tuple(
            fact_input(
                f"{node.path} {node.values['number'].written}",
                node.values["changes"].written,
                node.evidence,
            )
            for node in self.lines
        )

    def term(self, value: int | Fraction, what: str) -> Term:
        """A number counted from the lines, with these as its inputs."""
        return Term(Fraction(value), "", what, {}, self.inputs())

    def places_term(self, number: int) -> Term:
        return self.term(len(self.quarter(number)), f"places of quarter {number}, rests among them")


def read(train: Train) -> Changes | None:
    """The changes of a train as written; for ting-tang quarters two blows a change. None where nothing says them."""
    kind = kind_of(train)
    written = changes_of(train)
    words = kind[0] if kind else ""
    if written:
        return Changes({n: tuple(written[n]) for n in sorted(written)}, quarters_of(train), words)
    if words == "ting-tang quarters":
        return Changes({number: TING_TANG * number for number in (1, 2, 3, 4)}, (), words)
    return None


def gap(book: Book, train: Train) -> Term:
    """From the last blow of a change to the first of the next, in intervals between blows: 1 is no gap."""
    drum = train.fact("chime barrel")
    at = book.at(drum, f"{train.name}.chime_barrel")
    if at.has("gap"):
        return at.term("gap", "gap between two changes, in intervals", "")
    return constant(
        GAP, "", "gap between two changes, in intervals", GAP_HALF / 3**0.5, GAP_SOURCE, assumed=True
    )


def hammers_of(train: Train, changes: Changes) -> dict[str, Node]:
    """The hammer of each bell, by the bell's number: in their order, the highest first, where there are as many."""
    hammers, bells = train.facts("hammer"), changes.bells()
    return dict(zip(bells, hammers, strict=True)) if len(hammers) == len(bells) else {}


def blows_a_day(book: Book, train: Train) -> list[Term] | None:
    """Blows of each hammer in a day, in the order of the hammers; None where they cannot be told apart."""
    hammers = train.facts("hammer")
    if train.role == "strike":
        total = book.use(f"{train.name}.blows_per_day")
        # several hammers of an hour strike take turns
        share = len(hammers)
        if share == 1:
            return [total]
        figures = [
            book.derive(
                f"{hammer.path}.blows_per_day",
                f"blows of {hammer.path} in a day, as {share} hammers take turns",
                "N/k",
                {"N": total, "k": constant(share, "", "hammers of the train")},
                unit="per day",
                method="Several hammers of an hour strike one after the other, each as often as the next.",
            )
            for hammer in hammers
        ]
        return [book.use(figure) for figure in figures]
    changes = read(train)
    bells = hammers_of(train, changes) if changes else {}
    found = []
    for hammer in hammers:
        bell = next((name for name, node in bells.items() if node is hammer), None)
        if bell is not None and changes is not None:
            text, terms = "24*b", {"b": changes.term(changes.blows(bell), f"blows on bell {bell} in an hour")}
        elif hammer.get("each change") is not None:
            text = "b*N"
            terms = {
                "b": book.fact(
                    hammer.get("each change"), f"{hammer.path}.each_change", "blows in a change", ""
                ),
                "N": book.use(f"{train.name}.changes_per_day"),
            }
        else:
            return None
        figure = book.derive(
            f"{hammer.path}.blows_per_day",
            f"blows of {hammer.path} in a day",
            text,
            terms,
            unit="per day",
            source=SOURCE,
        )
        found.append(book.use(figure))
    return found
