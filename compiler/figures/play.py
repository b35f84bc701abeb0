"""How far the tip of a hand is free to move: the play of teeth and joints between the movement and the dial."""

from __future__ import annotations

from countwheel.figures import leading
from countwheel.figures.book import Book, Term, constant
from countwheel.figures.leading import Piece
from countwheel.model.clock import Dial
from countwheel.model.node import Node

# Play of a pair as a share of the pitch of its teeth, where it is not stated: from cut teeth closely set to
# old teeth, cast or worn. An assumption with its whole width as uncertainty; no measurement was found.
TEETH, TEETH_HALF = 0.05, 0.04
# Play of a universal joint about its shaft, in degrees: an assumption too.
JOINT, JOINT_HALF = 0.5, 0.4
ROOT_3 = 3**0.5
SOURCE = (
    "geometry; that large bevels leave the hands less play for the same shake in the teeth: E. Beckett, Clocks,"
    " Watches and Bells, 1903, page 224; how much play there is where none is stated: assumed, no source"
)


def work_out(book: Book) -> None:
    """Figures `dial.NAME.play_in_time` and `dial.NAME.play_at_tip`, where there is a leading off. After dials.py."""
    for dial in book.clock.dials:
        if dial.leading_off is not None and not dial.node.get("driven by"):
            _dial(book, dial)


def _hand(dial: Dial) -> tuple[str, Node | None]:
    word = (
        "hour hand" if dial.node.says("one hand only") or dial.node.denies("minute hand") else "minute hand"
    )
    return word, dial.node.get(word)


def _dial(book: Book, dial: Dial) -> None:
    assert dial.leading_off is not None
    word, hand = _hand(dial)
    at = book.at(hand, f"{dial.path}.{word.replace(' ', '_')}")
    pieces = [p for p in leading.pieces(book, dial.leading_off, dial) if p.step.kind != "shaft"]
    if not at.has("length") or not pieces:
        return
    terms: dict[str, Term] = {}
    shares: list[str] = []
    for number, piece in enumerate(pieces, 1):
        shares.append(_share(book, piece, number, terms))
    time = book.derive(
        f"{dial.path}.play_in_time",
        f"how far the {word} is free to move, in time",
        f"60*({' + '.join(shares)})",
        terms,
        unit="min",
        symbol="t",
        source=SOURCE,
        method=(
            "From the furthest it can be moved one way to the furthest the other way, the movement standing"
            " still. A hand that is heavy to one side, and a counterpoise as well, keeps the play to one side;"
            " wind moves it through the whole. Shafts that twist and a loose fit of the hand are not counted."
            + (" Nor is the motion work." if word == "hour hand" else "")
        ),
    )
    book.derive(
        f"{dial.path}.play_at_tip",
        f"how far the tip of the {word} is free to move",
        "2*pi*l*n*t/60",
        {
            "l": at.term("length", f"length of the {word}", "mm"),
            "n": book.use(f"{at.path}.turns_per_hour", "turns/h"),
            "t": book.use(time, "min"),
        },
        unit="mm",
        symbol="s",
        source=SOURCE,
        cautions=(
            "It is measured from inside, at the shafts. Nobody reaches out through a dial or leans from a window"
            " to move a hand.",
        ),
    )


def _share(book: Book, piece: Piece, number: int, terms: dict[str, Term]) -> str:
    """What one pair or joint adds, in hours, as a text; its terms go into `terms`."""
    node = piece.step.node
    over = "" if leading.even(piece.rate) else f"*n_{number}"
    if over:
        terms[f"n_{number}"] = piece.rate.named("turns an hour of the driven shaft")
    if node.get("play") is not None:
        terms[f"a_{number}"] = book.fact(node.get("play"), f"{node.path}.play", f"play of {node.path}", "deg")
        return f"a_{number}/(2*pi{over})"
    if piece.driven is None:
        terms["a"] = constant(JOINT, "deg", "play of a universal joint", JOINT_HALF / ROOT_3, assumed=True)
        return f"a/(2*pi{over})"
    terms["f"] = constant(
        TEETH, "", "play of a pair of wheels as a share of the pitch", TEETH_HALF / ROOT_3, assumed=True
    )
    terms[f"z_{number}"] = piece.driven
    return f"f/({'z_' + str(number)}{over})" if over else f"f/z_{number}"
