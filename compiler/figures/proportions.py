"""Dials by the published rules: their size for their height, and the length and breadth of the hands."""

from __future__ import annotations

from countwheel.figures.book import At, Book
from countwheel.figures.dials import called
from countwheel.model.clock import Dial

SIZE = (
    "E. Beckett, Clocks, Watches and Bells, 1903, pages 216-217; W. L. Goodrich, The Modern Clock, 1905, page"
    " 426; J. W. Benson, Time and Time-Tellers, 1875, page 159"
)
FIGURES = (
    "E. Beckett, Clocks, Watches and Bells, 1903, pages 218 and 221; W. L. Goodrich, The Modern Clock, 1905,"
    " page 428"
)
BREADTH = (
    "E. Beckett, Clocks, Watches and Bells, 1903, page 221; W. L. Goodrich, The Modern Clock, 1905, page 444"
)
LEAST_SIZE = 0.1  # diameter for the height of the centre


def work_out(book: Book) -> None:
    """Figures `dial.NAME.proportion` and `dial.NAME.HAND.*proportion`, where what they compare is stated."""
    for dial in book.clock.dials:
        at = book.at(dial.node, dial.path)
        name = f" of the {called(dial)} dial" if dial.name else " of the dial"
        if at.has("diameter") and at.has("above ground"):
            book.derive(
                f"{dial.path}.proportion",
                f"diameter{name} for its height above the ground",
                "D/h",
                {
                    "D": at.term("diameter", "diameter of the dial", "m"),
                    "h": at.term("above ground", "height of its centre above the ground", "m"),
                },
                source=SIZE,
                method=(
                    "At least 0.1, a foot of dial for every ten feet of height, so that it can be read from"
                    " below. Of the large dials that Beckett lists most are above it, a few a little below."
                ),
            )
        for word in ("minute hand", "hour hand"):
            if not dial.node.denies(word):
                _hand(book, dial, at, word, name)


def _hand(book: Book, dial: Dial, at: At, word: str, name: str) -> None:
    hand = at.at(word)
    path = f"{dial.path}.{word.replace(' ', '_')}"
    if not hand.has("length"):
        return
    length = hand.term("length", f"length of the {word}", "mm")
    if at.has("diameter"):
        book.derive(
            f"{path}.proportion",
            f"length of the {word}{name} as a share of the dial's radius",
            "2*l/D",
            {"l": length, "D": at.term("diameter", "diameter of the dial", "mm")},
            source=FIGURES,
            method=_rule(dial, word),
        )
    if word == "minute hand" and hand.has("width"):
        book.derive(
            f"{path}.width_proportion",
            f"length of the minute hand{name} for its breadth",
            "l/b",
            {"l": length, "b": hand.term("width", "breadth of the hand at its widest", "mm")},
            source=BREADTH,
            method="About 13, tapering to half that breadth near the point.",
        )


def _rule(dial: Dial, word: str) -> str:
    if word == "minute hand":
        return (
            "Figures and minutes together take a third of the radius, the minutes most of the outermost ninth of"
            " it: a hand of 0.9 to 1 reaches among them."
        )
    if dial.node.says("one hand only"):
        return (
            "The only hand has to point among the quarters of the hours, beyond the place where the hour hand of"
            " two hands ends, about two thirds."
        )
    return (
        "Just short of the figures: where figures and minutes take a third of the radius, about two thirds."
    )
