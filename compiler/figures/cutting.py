"""Sizes of a wheel or pinion that is to be made anew: module, pitch, diameters, and how well they must be known."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from countwheel.figures import module_ways
from countwheel.figures.book import NO_SOURCE, Book, Term, constant
from countwheel.figures.gear_pair import GearPair
from countwheel.figures.module_ways import DEFINITION, TOUCHING
from countwheel.figures.record import Figure
from countwheel.figures.replacing import LEVEL, SPUR, Part, parts_of
from countwheel.figures.tooth_form import CUTTERS, LANTERN, left_on, room_below, stock_addendum
from countwheel.model.clock import Clock

# Forms of which at least the pitch circle follows from module and count.
_PITCHED = (*LEVEL, "bevel", "contrate")
# How far the two pitch circles may miss each other, in modules: a thirtieth of a wheel tooth's thickness.
# Own judgement.
_MISS = Fraction(1, 20)
# And how far one pitch may differ from the other, as a part of it: own judgement too.
_APART = Fraction(1, 100)


def work_out(book: Book) -> None:
    """Figures `PATH.replacement.*` of each wheel or pinion that is lost, partly gone or worn."""
    for part in parts_of(book.clock):
        if part.reason:
            _one(book, part)


def figures_of(clock: Clock, part: Part) -> dict[str, Figure]:
    """All figures of a clock by their ids, with those of this part too, though nothing is amiss with it."""
    from countwheel.figures import work_out as all_figures

    book = all_figures(clock)
    _one(book, part)
    return {figure.id: figure for figure in book.figures}


def _one(book: Book, part: Part) -> None:
    if part.form not in _PITCHED:
        return
    pair = GearPair(book, part)
    module_ways.work_out(pair)
    sizes = _Sizes(pair)
    if not sizes.module.known:
        sizes.wait()
        return
    sizes.pitch_circles()
    if part.form in SPUR:
        sizes.teeth()
    sizes.enough()


class _Sizes:
    """Derives the sizes of one part from its module, once that is worked out or waits."""

    def __init__(self, pair: GearPair) -> None:
        self.pair = pair
        self.part = pair.part
        self.id = f"{pair.part.path}.replacement"
        self.module = pair.book.use(f"{self.id}.module", "mm")
        self.where = {"m": self.module, **pair.counts}

    def _derive(
        self,
        name: str,
        title: str,
        text: str,
        where: Mapping[str, Term],
        symbol: str,
        source: str,
        method: str = "",
    ) -> None:
        self.pair.book.derive(
            f"{self.id}.{name}", title, text, where, unit="mm", symbol=symbol, source=source, method=method
        )

    def wait(self, *names: str) -> None:
        """The diameters (all, where none is named) wait for the module, for the counts, and for what meshes with it."""
        lacking = [] if self.part.mate else [self.pair.lacking()]
        terms = [self.module, *self.pair.counts.values(), *lacking]
        for name in names or ("pitch", "outside", "root"):
            title = f"{name} diameter for cutting {self.part.path} anew"
            self.pair.book.state(f"{self.id}.{name}_diameter", title, None, terms, unit="mm")

    def pitch_circles(self) -> None:
        path, mate, where = self.part.path, self.part.mate, self.where
        of = f"for cutting {path} anew"
        self._derive("circular_pitch", f"circular pitch {of}", "pi*m", where, "p", DEFINITION)
        self._derive("pitch_diameter", f"pitch diameter {of}", "m*z_1", where, "d_1", DEFINITION)
        if mate is None or self.part.form not in LEVEL:
            return
        title = f"pitch diameter of {mate.path} that goes with {path} as it is cut anew"
        self._derive("mate_pitch_diameter", title, "m*z_2", where, "d_2", DEFINITION)
        title = f"distance of the centres of {path} and {mate.path} that goes with the module it is cut to"
        self._derive("centre_distance", title, f"m*{self.pair.sum_of_counts()}/2", where, "a", TOUCHING)

    # -- teeth -------------------------------------------------------------------

    def teeth(self) -> None:
        if self.pair.lantern is not None:
            self._lantern()
            return
        shape = self.pair.proportions()
        if shape is None:
            self.wait("outside", "root")
            return
        where = {**self.where, "m": self.pair.shaped(self.module), **shape.where}
        method = f"Tooth form: {self.pair.tooth_form}."
        self._tooth(shape.addendum, shape.dedendum, f"m*{shape.thickness}", where, shape.source, method)
        blank = stock_addendum(self.part.gear.kind == "pinion", int(self.pair.counts["z_1"].value or 0))
        if self.pair.tooth_form == "cycloidal":
            title = f"blank for {self.part.path} where it is cut anew with a stock cutter"
            method = "To compare: whether such a cutter may be used, the form of the mate decides."
            self._derive("blank_diameter", title, f"m*(z_1 + 2*{blank})", self.where, "D", CUTTERS, method)

    def _tooth(
        self, high: str, deep: str, thick: str, where: Mapping[str, Term], source: str, method: str
    ) -> None:
        """The sizes of a tooth; `high` and `deep` in modules, '' for a depth that no source gives."""
        of = f"for cutting {self.part.path} anew"
        asked = [
            ("tooth_thickness", f"thickness of a tooth, along the pitch circle, {of}", thick, "t"),
            ("outside_diameter", f"outside diameter {of}", f"m*(z_1 + 2*({high}))", "D"),
        ]
        if deep:
            asked.append(("root_diameter", f"root diameter {of}", f"m*(z_1 - 2*({deep}))", "D_r"))
            asked.append(("tooth_depth", f"depth of the cut {of}", f"m*({high} + {deep})", "h"))
        for name, title, text, symbol in asked:
            self._derive(name, title, text, where, symbol, source, method)

    def _lantern(self) -> None:
        """A lantern pinion by its trundles, or the wheel that works with one."""
        where = {**self.where, "d": self.pair.trundle()}
        if self.pair.node is self.pair.lantern:
            of = f"for making {self.part.path} anew"
            method = "The pitch circle goes through the trundles' centres."
            for name, title, text in (
                ("outside_diameter", f"diameter over the trundles {of}", "m*z_1 + d"),
                ("root_diameter", f"diameter between the trundles {of}", "m*z_1 - d"),
            ):
                self._derive(name, title, text, where, "D", LANTERN, method)
            return
        where |= {"s": left_on(), "c": room_below()}
        high, deep = "s*trundle_tip(z_1/2, z_2/2, d/m)", "d/(2*m) + c"
        method = "The flank is the way of a trundle's centre, set in by half a trundle; play comes off the thickness."
        self._tooth(high, deep, "pi*m - d", where, LANTERN, method)

    # -- how well it must be known -------------------------------------------------

    def enough(self) -> None:
        """How well the module must be known, and each size that it can be had from: in mm, either way."""
        of, book = f"for cutting {self.part.path} anew", self.pair.book
        miss = constant(_MISS, "", "what the pitch circles may miss each other by, in modules", assumed=True)
        apart = constant(_APART, "", "part by which its pitch may differ from its mate's", assumed=True)
        method = "So that neither its pitch circle nor its pitch is further from its mate's than that."
        where = {**self.where, "k": miss, "q": apart}
        title = f"how well the module must be known {of}"
        self._derive("module.enough", title, "m*min(2*k/z_1, q)", where, "u", NO_SOURCE, method)
        where = {**self.pair.counts, "u": book.use(f"{self.id}.module.enough", "mm")}
        title = f"how near to right the pitch diameter must come {of}"
        self._derive("pitch_diameter.enough", title, "u*z_1", where, "u_d", NO_SOURCE)
        if self.part.mate is not None and self.part.form in LEVEL:
            title = f"how well the distance to the mate's arbor must be measured {of}"
            text = f"u*{self.pair.sum_of_counts()}/2"
            self._derive("centre_distance.enough", title, text, where, "u_a", NO_SOURCE)
        shape = self.pair.proportions(of_mate=True)
        if shape is not None:
            title = f"how well the outside diameter of the mate must be measured {of}"
            text = f"u*(z_2 + 2*({shape.addendum}))"
            self._derive("mate_diameter.enough", title, text, {**where, **shape.where}, "u_D", NO_SOURCE)
