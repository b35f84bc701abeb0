"""What is known of a wheel or pinion that is to be made anew and of its mate, as terms."""

from __future__ import annotations

from dataclasses import replace

from countwheel.figures.book import Book, Term, waiting
from countwheel.figures.record import Input
from countwheel.figures.replacing import SPUR, Part, mate_wanted
from countwheel.figures.terms import words_input
from countwheel.figures.tooth_form import Proportions, Toothed, proportions
from countwheel.figures.train import teeth
from countwheel.model.node import Node


class GearPair:
    """One part with its mate.

    `counts` has the terms of z_1, the part's teeth, and where there is a mate of z_2, its own; `lantern` is the
    lantern pinion of the pair, if it has one.
    """

    def __init__(self, book: Book, part: Part) -> None:
        self.book = book
        self.part = part
        self.node = part.gear.node
        self.mate = part.mate.node if part.mate else None
        self.counts = {"z_1": self._count(self.node)}
        if self.mate is not None:
            self.counts["z_2"] = self._count(self.mate)
        gears = (gear for gear in (part.gear, part.mate) if gear)
        self.lantern = next(
            (gear.node for gear in gears if gear.kind == "pinion" and gear.form == "lantern"), None
        )
        self.tooth_form, self._form_input = self._form()

    def _count(self, node: Node) -> Term:
        """The count; of a part of which no more is known, how many there were of which some remain."""
        term = teeth(self.book, node, f"teeth of {node.path}")
        remains = node.get("remains")
        if term.known or remains is None:
            return term
        return self.book.fact(remains, remains.path, f"teeth that {node.path} had", "", part="of")

    def _form(self) -> tuple[str, Input]:
        """The tooth form, as stated of either of the pair; else the cycloidal, as an assumption."""
        for node in (self.node, self.mate):
            fact = node.get("tooth form") if node is not None else None
            said = fact.text() if fact else None
            if fact is not None and said:
                return said, words_input(fact)
        return "cycloidal", Input(f"{self.node.path}.tooth_form", "cycloidal", "assumed", how="assumed")

    def lacking(self) -> Term:
        """What all else waits for where there is no mate: the mate."""
        return waiting(mate_wanted(self.part), "what it meshes with")

    def shaped(self, term: Term) -> Term:
        """A term of a figure that hangs on the tooth form."""
        return replace(term, inputs=(*term.inputs, self._form_input))

    def diameter(self, node: Node, what: str) -> Term:
        """`outside diameter` or `trundle diameter` of one of the pair, in mm."""
        path = f"{node.path}.{what.replace(' ', '_')}"
        return self.book.fact(node.get(what), path, f"{what} of {node.path}", "mm")

    def trundle(self) -> Term:
        assert self.lantern is not None
        return self.diameter(self.lantern, "trundle diameter")

    def sum_of_counts(self) -> str:
        """What the module times half of is the distance of the centres: of an internal pair, a difference."""
        if self.part.form != "internal":
            return "(z_1 + z_2)"
        return "(z_2 - z_1)" if self.part.gear.kind == "pinion" else "(z_1 - z_2)"

    def proportions(self, of_mate: bool = False) -> Proportions | None:
        """Of the part's teeth, or its mate's; None where a count or the mate is not known, and for a lantern."""
        mate = self.part.mate
        counts = [int(term.value) for term in self.counts.values() if term.value is not None]
        if mate is None or len(counts) < 2 or self.lantern or self.part.form not in SPUR:
            return None
        own = Toothed(self.part.gear.kind == "pinion", self.part.drives, counts[0], "z_1", "z_2")
        other = Toothed(mate.kind == "pinion", not self.part.drives, counts[1], "z_2", "z_1")
        return proportions(self.tooth_form, *((other, own) if of_mate else (own, other)))
