"""Universal joints on the way to the dials: how unevenly they turn the hands, one by one and together."""

from __future__ import annotations

from typing import NamedTuple

from countwheel.figures import leading
from countwheel.figures.book import Book, Term
from countwheel.figures.leading import Piece
from countwheel.model.clock import LeadingOff

# tan(out) = tan(in)/cos β with the angle counted from the plane of the shafts; the largest difference of the
# two is where tan(in) = √cos β, and there sin δ = (1 - cos β)/(1 + cos β) = tan²(β/2). Two joints in one
# plane multiply: tan(out) = k tan(in), and sin δ = |1 - k|/(1 + k).
ONE = "geometry of the Cardan joint: tan a = tan b/cos β, so sin δ = tan²(β/2)"
TWO = (
    "geometry of two Cardan joints; E. Beckett, Clocks, Watches and Bells, 1903, page 225: even only where the"
    " oblique rod lies between two parallel ones"
)
PLANE = (
    "All three shafts are taken to lie in one plane; where they do not, the forks of the middle shaft must be"
    " turned against one another by the angle between the two planes, or the errors do not cancel."
)
PLAY = "Only the shape of the joints is counted here, not their wear; see the play at the tip of the hand."


class Group(NamedTuple):
    """Joints taken together: one, or two with nothing but the middle shaft between them.

    `forks`: in line, crossed, or '' where it is not stated (or does not matter).
    """

    pieces: tuple[Piece, ...]
    forks: str


def work_out(book: Book) -> None:
    """Figures `JOINT.unevenness*` for each joint and `leading_off.unevenness*` for several. After dials.py."""
    named = leading.ids(book.clock.leading_off)
    for way in book.clock.leading_off:
        if any(step.kind == "joint" for step in way.steps):
            _way(book, way, named[id(way.node)])


def _way(book: Book, way: LeadingOff, name: str) -> None:
    dials = leading.dials_of(book, way)
    if not dials:
        return
    pieces = leading.pieces(book, way, dials[0])
    joints = [piece for piece in pieces if piece.step.kind == "joint"]
    for joint in joints:
        _one(book, joint)
    if len(joints) > 1:
        _together(book, name, groups(pieces))


def _angle(book: Book, joint: Piece) -> Term:
    called = joint.step.node.label
    return book.fact(
        joint.step.node.get("angle"),
        f"{joint.step.node.path}.angle",
        f"angle between the shafts{f' {called}' if called else ' of the joint'}",
        "deg",
    )


def _one(book: Book, joint: Piece) -> None:
    figure = book.derive(
        f"{joint.id}.unevenness",
        "largest error of one universal joint by itself, to either side",
        "asin(tan(β/2)**2)",
        {"β": _angle(book, joint)},
        unit="deg",
        symbol="δ",
        source=ONE,
        method=f"Twice in a turn the shaft behind it runs ahead by this much, twice it lags. {PLAY}",
    )
    book.derive(
        f"{joint.id}.unevenness_at_dial",
        "largest error of that one joint as the minute hand would show it, to either side",
        "3600*δ/(2*pi*n)",
        {"δ": book.use(figure, "deg"), "n": joint.rate.named("turns an hour of the shaft")},
        unit="s",
        symbol="e",
        source=ONE,
        method="A shaft that turns more often than the minute hand is geared down, and its error with it.",
    )


def groups(pieces: tuple[Piece, ...]) -> list[Group]:
    """Joints two and two where only the shaft between them parts them; what is left over stands alone."""
    found: list[Group] = []
    open_joint: Piece | None = None
    for piece in pieces:
        if piece.step.kind in leading.TOOTHED:
            if open_joint is not None:
                found.append(Group((open_joint,), ""))
            open_joint = None
        elif piece.step.kind == "joint":
            if open_joint is None:
                open_joint = piece
            else:
                found.append(Group((open_joint, piece), _forks(open_joint, piece)))
                open_joint = None
    if open_joint is not None:
        found.append(Group((open_joint,), ""))
    return found


def _forks(*joints: Piece) -> str:
    said = [joint.step.node.text("forks") or "" for joint in joints]
    # where the two lines disagree the worse is taken
    return "crossed" if "crossed" in said else next((one for one in said if one), "")


def _together(book: Book, name: str, found: list[Group]) -> None:
    terms: dict[str, Term] = {}
    parts: list[str] = []
    said: list[str] = []
    number = 0
    for group in found:
        symbols = []
        for joint in group.pieces:
            number += 1
            symbols.append(f"β_{number}")
            terms[f"β_{number}"] = _angle(book, joint)
        terms[f"n_{number}"] = group.pieces[-1].rate.named("turns an hour of the shaft")
        parts.append(f"{_error(group, symbols)}/n_{number}")
        said.append(_said(group))
    if any(len(group.pieces) > 1 for group in found):
        said.append(PLANE)
    if len(found) > 1:
        said.append("What the pairs and single joints leave may fall together, so it is added.")
    method = " ".join((*dict.fromkeys(said), PLAY))
    titled = "largest error from all universal joints together, to either side"
    text = f"3600*({' + '.join(parts)})/(2*pi)"
    if len(found) == 1:
        both = {symbol: terms[symbol] for symbol in ("β_1", "β_2")}
        book.derive(
            f"{name}.unevenness",
            titled,
            _error(found[0], list(both)),
            both,
            unit="deg",
            symbol="δ",
            source=TWO,
            method=method,
        )
    book.derive(
        f"{name}.unevenness_at_dial",
        f"{titled}, on the minute hand",
        text,
        terms,
        unit="s",
        symbol="e",
        source=TWO,
        method=method,
    )


def _error(group: Group, symbols: list[str]) -> str:
    if len(group.pieces) == 1:
        return f"asin(tan({symbols[0]}/2)**2)"
    a, b = symbols
    if group.forks == "in line":
        return f"asin(abs(cos({a}) - cos({b}))/(cos({a}) + cos({b})))"
    return f"asin((1 - cos({a})*cos({b}))/(1 + cos({a})*cos({b})))"


def _said(group: Group) -> str:
    if len(group.pieces) == 1:
        return "A single joint has nothing to undo its error."
    if group.forks == "in line":
        return (
            "The forks of the middle shaft stand in line, so the second joint takes back what the first did."
        )
    if group.forks == "crossed":
        return (
            "The forks of the middle shaft stand crossed, so the second joint adds its error to the first's;"
            " turned by a quarter they would take it back."
        )
    return (
        "How the forks of the middle shaft stand is not stated: this is for forks that stand crossed, the worst"
        " there is; in line they would cancel at equal angles."
    )
