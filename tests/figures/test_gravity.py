"""Gravity against published check values and against boule (closed form, no formula of ours)."""

from __future__ import annotations

from typing import Any

import boule  # type: ignore[import-untyped]
import pytest
from countwheel.figures import gravity
from countwheel.figures.book import Book
from figure_clocks import build, q, unknown


def _gravity(latitude: float, height: float | None = 0.0, **more: Any) -> Book:
    place = {"latitude": q(f"{latitude} °"), **more}
    if height is not None:
        place["above sea"] = q(f"{height} m")
    book = Book(build({"clock": {"place": place}}))
    gravity.work_out(book)
    return book


@pytest.mark.parametrize(
    ("latitude", "published"),
    [
        # GRS80 check values, Bulletin Géodésique 62(3), 1988, p. 356
        (0, 9.780326772),
        (45, 9.806199203),
        (90, 9.832186368),
    ],
)
def test_published_values(latitude: float, published: float) -> None:
    figure = _gravity(latitude).get("place.gravity")
    assert figure is not None
    assert figure.value == pytest.approx(published, abs=1e-9)


@pytest.mark.parametrize("latitude", [0, 15, 30, 45, 50.12, 51.5, 60, 75, 90])
@pytest.mark.parametrize("height", [0, 22, 100, 1000])
def test_against_boule(latitude: float, height: float) -> None:
    # boule works the height out in closed form (9.803114330 at 45°, 1000 m); our second-order term
    # is good to 1e-7 at 1000 m, a three-thousandth of what the ground itself may differ
    figure = _gravity(latitude, height).get("place.gravity")
    expected = boule.GRS80.normal_gravity((0.0, latitude, height), si_units=True)
    assert figure is not None
    assert figure.value == pytest.approx(float(expected), abs=1e-9 + 1.1e-10 * height)


def test_free_air_gradient() -> None:
    # -0.3086 mGal/m, the classic gradient (from memory; boule gives -0.30856)
    low, high = (_gravity(45, height).get("place.gravity") for height in (0, 100))
    assert (high.value - low.value) / 100 * 1e5 == pytest.approx(-0.3086, abs=1e-4)  # type: ignore[union-attr,operator]


def test_a_measured_value_wins() -> None:
    book = _gravity(50.0, 10.0, gravity=q("9.8118 m/s² ± 0.0001 m/s²"))
    figure = book.get("place.gravity")
    assert figure is not None
    assert figure.value == 9.8118
    assert figure.uncertainty == pytest.approx(0.0001 / 3**0.5)


def test_a_computed_value_is_no_surer_than_the_ground() -> None:
    # Teddington, Ottawa and Washington differ from normal gravity by 11, 25 and 34 mGal
    # (Proc. R. Soc. A, 1955, on the absolute measurement at Teddington)
    figure = _gravity(51.42, 10).get("place.gravity")
    assert figure is not None
    assert figure.uncertainty == pytest.approx(3e-4, rel=1e-3)
    assert abs(9.811823 - float(figure.value or 0)) < 2 * 3e-4


def test_it_waits_for_the_latitude_alone() -> None:
    book = Book(build({"clock": {"place": {"latitude": unknown()}}}))
    gravity.work_out(book)
    assert book.get("place.gravity").waits_for == ("clock.place.latitude",)  # type: ignore[union-attr]
    assert not _gravity(50.0, None).get("place.gravity").waits  # type: ignore[union-attr]


def test_a_pull_need_not_wait_for_the_latitude() -> None:
    term = gravity.anywhere(Book(build({"clock": {}})))
    assert term.value == pytest.approx((9.780326772 + 9.832186368) / 2)
    # a rectangle from equator to pole
    assert term.uncertainty == pytest.approx((9.832186368 - 9.780326772) / 2 / 3**0.5)
    assert gravity.anywhere(_gravity(45)).value == pytest.approx(9.806199203, abs=1e-9)
