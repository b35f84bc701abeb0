"""Motion work: how the hour hand is geared to the minute hand, and whether it fits on one centre."""

from __future__ import annotations

from countwheel.figures.book import Book, waiting
from countwheel.figures.places import MOTION_WORK as WHEELS
from countwheel.figures.places import motion_work_places, motion_works, one_pair
from countwheel.figures.train import module_term, teeth
from countwheel.model.node import Node

SOURCE = "W. Derham, The Artificial Clock-maker, 1696, page 111; E. Beckett, Clocks, Watches and Bells, 1903, page 224"


def work_out(book: Book) -> None:
    for path, node, _ in motion_works(book.clock):
        _one(book, node, path)


def _one(book: Book, node: Node, path: str) -> None:
    c, m, p, h = (place.term(book) for place in motion_work_places(node, path).values())
    if one_pair(node):
        book.derive(
            f"{path}.ratio",
            "turns of the minute hand for one of the hour hand",
            "z_h/z_c",
            {"z_c": c, "z_h": h},
            symbol="i",
            source="W. Derham, The Artificial Clock-maker, 1696, page 63",
            method="One pair: the pinion on the minute hand's arbor drives the hour wheel. It must be 12, or 24.",
        )
        return
    book.derive(
        f"{path}.ratio",
        "turns of the minute hand for one of the hour hand",
        "(z_m*z_h)/(z_c*z_p)",
        {"z_c": c, "z_m": m, "z_p": p, "z_h": h},
        symbol="i",
        source=SOURCE,
        method="It must be 12, or 24 for a dial of 24 hours.",
    )
    _coaxial(book, node, path)


def _coaxial(book: Book, node: Node, path: str) -> None:
    """Both pairs stand between the same two centres: m₁(c + m) must equal m₂(p + h)."""
    facts = [node.get(word) for word in WHEELS]
    counts = [fact.count(part="teeth") if fact else None for fact in facts]
    title = "whether both pairs of the motion work fit between the same two centres"
    missing = [
        waiting(f"{path}.{word.replace(' ', '_')}", word)
        for word, count in zip(WHEELS, counts, strict=True)
        if count is None
    ]
    id = f"{path}.coaxial"
    if missing:
        book.state(id, title, None, missing)
        return
    terms = [teeth(book, fact, word) for fact, word in zip(facts, WHEELS, strict=True) if fact is not None]
    first, second = counts[0] + counts[1], counts[2] + counts[3]  # type: ignore[operator]
    one = next((t for f in facts[:2] if f and (t := module_term(book, f))), None)
    two = next((t for f in facts[2:] if f and (t := module_term(book, f))), None)
    sums = f"The counts add up to {first} and {second}."
    if one is None or two is None:
        if first == second:
            book.state(
                id,
                title,
                True,
                terms,
                source=SOURCE,
                method=f"{sums} With one module for both pairs they fit.",
            )
            return
        lacking = [
            waiting(f"{path}.{WHEELS[at].replace(' ', '_')}.module", "module")
            for at, t in ((0, one), (2, two))
            if t is None
        ]
        book.state(
            id,
            title,
            None,
            lacking,
            source=SOURCE,
            method=f"{sums} The modules of the two pairs must stand as {second} to {first}.",
        )
        return
    distances = [
        book.derive(
            f"{path}.{name}_centre_distance",
            f"distance between the centres by the {name} pair",
            "m*(z_1 + z_2)/2",
            {"m": module, "z_1": a, "z_2": b},
            unit="mm",
            symbol="a",
            source="definition of the module",
        )
        for name, module, a, b in (("first", one, terms[0], terms[1]), ("second", two, terms[2], terms[3]))
    ]
    if any(distance.value is None for distance in distances):
        return
    between = abs(float(distances[0].value or 0) - float(distances[1].value or 0))
    spread = ((distances[0].uncertainty or 0) ** 2 + (distances[1].uncertainty or 0) ** 2) ** 0.5
    fits = between <= max(2 * spread, 0.01 * float(distances[0].value or 0))
    book.state(
        id,
        title,
        fits,
        [*terms, one, two],
        source=SOURCE,
        method=f"By the first pair {distances[0].shown} mm, by the second {distances[1].shown} mm.",
    )
