"""Regulations and numbers to call stand in one table, and a clock elsewhere is told of none of them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from countwheel import outputs
from countwheel.api import check_text, gaps
from countwheel.emit.country import country_of
from countwheel.emit.document import Document
from countwheel.emit.manual import build_manual
from countwheel.emit.traversal import plain
from countwheel.emit.view import view_of
from manual_reading import squeezed
from manual_samples import HARBOUR, compiled

COMPILER = Path(__file__).parents[2] / "compiler"
# Rules of a country have a year, or letters of their own; the numbers to call for help in an emergency.
RULES = r"Regulations \d|\b[A-Z]\w+ Act \d|\b(?:PUWER|LOLER|COSHH|HSE|OSHA)\b|INDG|Britain"
NAMED = re.compile(rf"{RULES}|\b(?:999|112|911)\b")


def manual(country: str) -> Document:
    text = HARBOUR.replace("    time zone Europe/London\n", f'    country "{country}"\n')
    result = compiled(text)
    assert result.clock is not None
    return build_manual(result.clock, result.figures, gaps=gaps(result))


def test_no_wording_but_the_table_names_a_country_s_rules() -> None:
    places = (("emit/templates", NAMED), ("figures", re.compile(RULES)), ("checks", re.compile(RULES)))
    named = [
        f"{path.name}: {found[0]}"
        for folder, pattern in places
        for path in sorted((COMPILER / folder).rglob("*"))
        if path.suffix in (".j2", ".py", ".txt", ".table") and path.name != "countries.table"
        for found in pattern.finditer(path.read_text(encoding="utf-8"))
    ]
    assert named == []
    table = (COMPILER / "emit/templates/manual/countries.table").read_text(encoding="utf-8")
    assert len(NAMED.findall(table)) > 8


@pytest.mark.parametrize("country", ["Denmark", "", "Ireland"])
def test_elsewhere_no_rule_and_no_number_is_named(country: str) -> None:
    text = squeezed(plain(manual(country)))
    assert not NAMED.search(text)
    assert "What the owner can ask about" in text
    assert "Ask for the rules on" in text
    assert "work at height" in text


@pytest.mark.parametrize("country", ["United Kingdom", "Scotland", "wales"])
def test_at_home_they_are(country: str) -> None:
    text = squeezed(plain(manual(country)))
    # Work at Height Regulations 2005 (SI 2005/735)
    assert "Work at Height Regulations 2005" in text
    assert "the emergency services first (999)" in text


def test_only_what_this_clock_has_is_pointed_to() -> None:
    result = check_text('countwheel 1\n\nclock "Bare"\n  place "Here"\n    country "Denmark"\n')
    assert result.clock is not None
    view = view_of(result.clock, result.figures)
    assert {rule.when for rule in country_of(view).rules} == {"always"}


@pytest.mark.parametrize(
    ("country", "number"), [("United Kingdom", "services, 999."), ("Denmark", "services: ")]
)
def test_the_emergency_page_has_the_number_or_room_for_it(country: str, number: str) -> None:
    result = check_text(f'countwheel 1\n\nclock "Bare"\n  place "Here"\n    country "{country}"\n')
    page = next(tab for tab in outputs.binder(result, ready=((), gaps(result))).tabs if tab.id == "emergency")
    assert number in squeezed(plain(page.document))
