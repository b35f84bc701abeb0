"""Gravity where the clock stands: measured if it was, else normal gravity for latitude and height."""

from __future__ import annotations

import math

from countwheel.figures.book import Book, Term, constant

# GRS80: H. Moritz, Geodetic Reference System 1980, Bulletin Géodésique 54 (1980); check values in
# Bulletin Géodésique 62 (1988), page 356.
EQUATOR = 9.7803267715  # m/s², normal gravity at the equator
POLE = 9.8321863685  # m/s², and at the pole
SOMIGLIANA = 0.001931851353
ECCENTRICITY_2 = 0.00669438002290  # first eccentricity squared
FLATTENING = 1 / 298.257222101
AXIS = 6378137.0  # m, equatorial radius
CENTRIFUGAL = 0.00344978600308  # ω²a²b/GM

# What real ground differs by from normal gravity: measured places lie 10 to 35 mGal away (compare
# Teddington, Ottawa and Washington, Proc. R. Soc. A, 1955), so 3e-4 m/s² as a standard uncertainty.
SITE = 3e-4

SOURCE = (
    "Somigliana's formula on GRS80 (H. Moritz, Geodetic Reference System 1980, Bulletin Géodésique 54, 1980),"
    " with the second-order height term"
)
ID = "place.gravity"


def work_out(book: Book) -> None:
    """`place.gravity`: the stated one, else by latitude and height above the sea, in m/s²."""
    place = book.at(book.clock.place, "clock.place")
    stated = place.term("gravity", "gravity measured at the place", "m/s²")
    if place.has("gravity") and stated.known:
        book.derive(
            ID,
            "gravity at the place",
            "g",
            {"g": stated},
            unit="m/s²",
            symbol="g",
            source="the description: measured at the place",
            method="The value stated for the place is used as it stands.",
        )
        return
    latitude = place.term("latitude", "latitude", "deg")
    height = place.term("above sea", "height above the sea", "m")
    if not height.known:
        # 100 m is 3e-5 of gravity, a tenth of what the ground itself may differ: no reason to wait
        height = constant(
            0.0, "m", "height above the sea, not stated", 150.0, "taken as the sea's own level", assumed=True
        )
    book.derive(
        ID,
        "gravity at the place",
        "g_e*(1 + k*sin(φ)**2)/sqrt(1 - e**2*sin(φ)**2)"
        "*(1 - 2*(1 + f + m - 2*f*sin(φ)**2)*h/a + 3*(h/a)**2) + δ",
        {
            "φ": latitude,
            "h": height,
            "g_e": constant(EQUATOR, "m/s²", "normal gravity at the equator"),
            "k": constant(SOMIGLIANA, "", "Somigliana's constant"),
            "e": constant(math.sqrt(ECCENTRICITY_2), "", "the earth's eccentricity"),
            "f": constant(FLATTENING, "", "flattening of the earth"),
            "m": constant(CENTRIFUGAL, "", "centrifugal ratio at the equator"),
            "a": constant(AXIS, "m", "the earth's equatorial radius"),
            "δ": constant(
                0.0, "m/s²", "what the ground of the place adds", SITE, "not measured; differs by place"
            ),
        },
        unit="m/s²",
        symbol="g",
        source=SOURCE,
        method="Normal gravity at the latitude, lessened with height; a measured value would be surer.",
    )


def anywhere(book: Book) -> Term:
    """Gravity for weights and rates: that of the place where it is known, else between equator and pole.

    It differs by half a per cent over the whole earth, so a pull or a rate need not wait for the latitude;
    a pendulum's length does.
    """
    here = at_place(book)
    if here.known:
        return here
    middle = (EQUATOR + POLE) / 2
    spread = (POLE - EQUATOR) / 2 / math.sqrt(3)
    return constant(middle, "m/s²", "gravity, the place not being known", spread, "GRS80", assumed=True)


def at_place(book: Book) -> Term:
    """Gravity at the place as a term in m/s², worked out now if it was not before."""
    if not book.has(ID):
        work_out(book)
    return book.use(ID, "m/s²")
