"""The facts of one train's power, read once for the figures of power, line and winding."""

from __future__ import annotations

from fractions import Fraction

from countwheel.figures import gravity
from countwheel.figures.book import At, Book, Term, child_path, constant
from countwheel.figures.terms import fact_term
from countwheel.model.clock import Train
from countwheel.model.values import Count

# A rope over a sheave loses 2 to 10 per cent: 0.98 for wire rope is usual in its makers' notes (verope,
# Tech-Info 09.4); 2 to 10 per cent by the bearing in B. Toss, The Complete Rigger's Apprentice, p. 56.
PULLEY = 0.95
MOST_PARTS = 24
PULLEY_U = 0.023
PULLEY_SOURCE = "2 to 10 per cent is lost at a sheave: B. Toss, The Complete Rigger's Apprentice, p. 56"


class Drive:
    """One train's power: its barrel, line, parts, pulleys and weight, there or not."""

    def __init__(self, book: Book, train: Train) -> None:
        self.book = book
        self.train = train
        self.id = train.name.lower().replace(" ", "_")
        arbor = train.barrel_arbor
        self.arbor_path = arbor.path if arbor else f"{train.name}.barrel"
        self.barrel = book.at(train.barrel, f"{train.name}.barrel")
        self.line = self.barrel.at("line")
        self.weight_at = self.barrel.at("weight")
        self.winding = self._of_train("winding")
        self.automatic = self._of_train("automatic winding")
        self.maintaining = self._of_train("maintaining power")

    def _of_train(self, word: str) -> At:
        """A fact of the train, which may be written under one of its arbors."""
        found = next((node for node in self.train.node.walk() if node.word == word), None)
        return At(found, child_path(self.train.name, word))

    # -- terms ---------------------------------------------------------
    @property
    def gravity(self) -> Term:
        return gravity.anywhere(self.book)

    @property
    def parts(self) -> Term:
        """Parts of the line that carry the weight."""
        return self.barrel.term("parts", "parts of the line", "")

    @property
    def part_count(self) -> int | None:
        value = self.barrel.at("parts").node
        found = value.value if value is not None else None
        return found.value if isinstance(found, Count) else None

    @property
    def line_diameter(self) -> Term:
        """The line's diameter in mm: stated, or by its girth."""
        if self.line.has("girth") and not self.line.has("diameter"):
            figure = self.book.derive(
                f"{self.id}.line.diameter",
                "diameter of the line",
                "u/pi",
                {"u": self.line.term("girth", "girth of the line", "mm")},
                unit="mm",
                symbol="d",
                source="geometry",
                method="From the girth round the line, as rope was sold.",
            )
            return self.book.use(figure)
        return self.line.term("diameter", "diameter of the line", "mm")

    @property
    def weight(self) -> Term:
        """The weight in kg: stated, or the sum of its slabs and tackle."""
        stated = self.weight_at.own("driving weight", "kg")
        if stated.known or not self.weight_at.has("slabs"):
            return stated
        slabs = self.weight_at.at("slabs")
        terms = {
            "k": slabs.own("number of slabs", "", "number"),
            "m": slabs.own("mass of one slab", "kg", "each"),
        }
        text = "k*m"
        if self.weight_at.has("tackle"):
            terms["q"] = self.weight_at.term("tackle", "tackle that hangs with the weight", "kg")
            text = "k*m + q"
        figure = self.book.derive(
            f"{self.id}.weight.mass",
            "driving weight, by its slabs",
            text,
            terms,
            unit="kg",
            symbol="W",
            source="a sum",
        )
        return self.book.use(figure)

    @property
    def turns_per_hour(self) -> Term:
        """Turns of the barrel in an hour: exact for a going train, a mean over the day for a strike."""
        return self.book.use(f"{self.arbor_path}.turns_per_hour", "turns/h")

    @property
    def line_density(self) -> Term:
        """Mass of the line to its length, kg/m."""
        return self.book.use(f"{self.id}.line.mass_per_length", "kg/m")

    # -- pulleys -------------------------------------------------------
    def _efficiency(self, pulleys: tuple[At, ...]) -> list[Term]:
        found = []
        for pulley in pulleys:
            stated = fact_term(
                pulley.at("efficiency").node, f"{pulley.path}.efficiency", "efficiency of the pulley", ""
            )
            found.append(stated if stated.known else usual_pulley())
        return found

    def pulleys(self) -> tuple[list[Term], list[Term]]:
        """Efficiencies of the pulleys of the tackle (one fewer than the parts) and of the leading pulleys.

        A pulley hangs with the weight where the description says so, else it is fixed.
        With n parts there are n - 1 pulleys in the tackle, n/2 of them (rounded down) on the weight;
        the fixed ones beyond those lead the line from the barrel.
        """
        count = min(
            self.part_count or 1, MOST_PARTS
        )  # more is told of as a fault, and need not be worked out
        every = self.barrel.all("pulley")
        hanging = tuple(pulley for pulley in every if pulley.has("on weight"))
        fixed = tuple(pulley for pulley in every if not pulley.has("on weight"))
        tackle_fixed = max(count - 1 - count // 2, 0)
        lead, rest = fixed[: max(len(fixed) - tackle_fixed, 0)], fixed[max(len(fixed) - tackle_fixed, 0) :]
        tackle = self._efficiency((*hanging, *rest))[: count - 1]
        tackle += [usual_pulley()] * (count - 1 - len(tackle))
        return tackle, self._efficiency(lead)

    @property
    def describes_pulleys(self) -> bool:
        return bool(self.barrel.all("pulley"))


def usual_pulley() -> Term:
    """How much of the pull passes over one pulley, where nothing is stated."""
    return constant(PULLEY, "", "efficiency of a pulley", PULLEY_U, PULLEY_SOURCE, assumed=True)


def one(what: str) -> Term:
    return constant(Fraction(1), "", what)


def drives(book: Book) -> tuple[Drive, ...]:
    """Every train that has a barrel, in the order written."""
    return tuple(Drive(book, train) for train in book.clock.trains if train.barrel is not None)
