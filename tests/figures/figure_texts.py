"""Descriptions in the language for the tests here: compiled, with their figures by id."""

from __future__ import annotations

from fractions import Fraction

from countwheel.api import Result, check_text
from countwheel.figures.book import Book
from countwheel.figures.record import Figure

PLACE = 'clock "A"\n  place\n    gravity 9.81 m/s²\n'


def compiled(*blocks: str) -> Result:
    """A description of these blocks. A word that the language does not know fails the test at once."""
    result = check_text("countwheel 1\n\n" + "\n".join(block.strip("\n") + "\n" for block in blocks))
    slips = [
        f"{one.code} {one.message}"
        for one in result.diagnostics
        if one.severity == "error" and one.code.startswith(("M1", "M2"))
    ]
    assert not slips, slips
    return result


def book_of(*blocks: str) -> Book:
    """The book of a description, for functions that take one."""
    from countwheel.figures import work_out

    clock = compiled(*blocks).clock
    assert clock is not None
    return work_out(clock)


def figure(result: Result, id: str) -> Figure:
    found = result.figures.get(id)
    assert found is not None, f"no figure {id}; there are {sorted(result.figures)}"
    return found


def value(result: Result, id: str) -> float:
    found = figure(result, id)
    assert isinstance(found.value, float), (
        f"{id} is {found.value!r}, waits for {found.waits_for} {found.cautions}"
    )
    return found.value


def exact(result: Result, id: str) -> Fraction:
    found = figure(result, id)
    assert found.exact is not None, f"{id} is {found.value!r}, waits for {found.waits_for}"
    return found.exact


def going(rate: str = "once an hour") -> str:
    """A going train of one arbor, whose rate is stated: enough for hands to be taken from."""
    return f"train going\n  arbor centre\n    wheel 80\n    rate {rate}\n"
