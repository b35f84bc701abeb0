"""Trying a value: the text in memory gives what an edited file gives, and no file is touched."""

from __future__ import annotations

import shutil
from functools import cache
from pathlib import Path

import pytest
from cli_running import tree
from countwheel.api import Result, check_text, compare, compile_file
from countwheel.preview.part import part_of
from countwheel.preview.trying import MOST, changed_texts, facts, plain, try_values
from previewed import CLOCKS, HARBOUR


@cache
def compiled(path: Path) -> Result:
    return compile_file(path)


@pytest.mark.parametrize("path", CLOCKS, ids=lambda path: path.stem)
def test_the_numbers_that_are_there_change_nothing(path: Path) -> None:
    """All at once, each written anew in its finest unit: the figures stay as they are."""
    result = compiled(path)
    there = facts(result)
    assert there
    own = {fact: fact.number for fact in there.values() if fact.number is not None}
    texts = changed_texts(result, own)
    again = check_text(
        texts.get(result.file, result.sources[result.file].text),
        result.file,
        lambda name: texts.get(
            f"{Path(result.file).parent}/{name}", result.sources[f"{Path(result.file).parent}/{name}"].text
        ),
        working=False,
    )
    found = compare(result, again)
    assert found is not None
    assert not found.figures
    assert [one.code for one in again.diagnostics if one.severity == "error"] == [
        one.code for one in result.diagnostics if one.severity == "error"
    ]


@pytest.mark.parametrize(
    ("id", "number", "name", "old", "new"),
    [
        ("going.barrel.weight", 350, "", "weight 2 cwt 3 qr 4 lb ", "weight 350 lb "),
        ("going.third.wheel (teeth)", 74, "", "      72   ", "      74   "),
        ("pendulum.length", 61.5, "", "length 61 in ± 1/4 in", "length 61.5 in ± 1/4 in"),
        ("escapement.drop", 1.25, "", "drop  1 °", "drop  1.25 °"),
        ("chime.barrel.weight", 1500, "trains/chime.movement", "", ""),
    ],
)
def test_what_is_tried_is_what_an_edited_file_gives(
    tmp_path: Path, id: str, number: float, name: str, old: str, new: str
) -> None:
    folder = tmp_path / HARBOUR.name
    shutil.copytree(HARBOUR, folder)
    before = tree(folder)
    result = compile_file(folder)
    tried = try_values(result, {id: number})
    assert tree(folder) == before
    edited = folder / name if name else folder / f"{HARBOUR.name}.movement"
    text = edited.read_text(encoding="utf-8")
    if old:
        assert text.count(old) == 1
        edited.write_text(text.replace(old, new), encoding="utf-8")
    else:  # in an included file: the text that was tried is put there
        (changed,) = tried.texts.values()
        assert changed != text
        edited.write_text(changed, encoding="utf-8")
    after = compile_file(folder, working=False)
    assert {id: (one.value, one.shown, one.uncertainty) for id, one in after.figures.items()} == {
        id: (one.value, one.shown, one.uncertainty) for id, one in tried.result.figures.items()
    }
    assert [(one.code, one.message) for one in after.diagnostics] == [
        (one.code, one.message) for one in tried.result.diagnostics
    ]
    assert tried.comparison is not None
    assert tried.comparison.figures


def test_more_weight_pulls_more_by_as_much() -> None:
    """By hand: the line is doubled, so that half of the 38 lb more hangs on it: 19 × 0.4536 kg × 9.81 m/s² = 84.5 N."""
    tried = try_values(compiled(HARBOUR), {"going.barrel.weight": 312 + 38})
    assert tried.comparison is not None
    (pull,) = (one for one in tried.comparison.figures if one.id == "going.line.load")
    assert pull.difference == pytest.approx(84.5, rel=0.01)


def test_a_lost_count_can_be_tried() -> None:
    text = (
        'countwheel 1\nclock "Lost"\ntrain going\n  arbor centre\n    wheel 80\n    rate once an hour\n'
        "  arbor third\n    pinion 10\n    wheel ? 60..84 lost\n  arbor escape\n    pinion 12\n    escape wheel 30\n"
    )
    result = check_text(text)
    fact = facts(result)["going.third.wheel (teeth)"]
    assert (fact.number, fact.low, fact.high, fact.whole) == (None, 60, 84, True)
    tried = try_values(result, {fact.id: 72})
    assert tried.result.figures["going.escape.turns_per_hour"].value == pytest.approx(48)
    assert tried.comparison is not None
    assert any(one.id == "going.escape.turns_per_hour" for one in tried.comparison.figures)


@pytest.mark.parametrize("number", [float("nan"), float("inf"), 1e12])
def test_what_is_no_number_is_passed_over(number: float) -> None:
    tried = try_values(compiled(HARBOUR), {"going.barrel.weight": number, "no.such.fact": 3})
    assert tried.values == ()
    assert tried.texts == {}


def test_a_number_that_cannot_be_brings_its_diagnostic() -> None:
    tried = try_values(compiled(HARBOUR), {"going.third.wheel (teeth)": 0, "pendulum.beat": -1})
    assert {one.code for one in tried.result.diagnostics if one.severity == "error"}


def test_only_a_few_at_a_time() -> None:
    result = compiled(HARBOUR)
    many = {id: fact.number for id, fact in facts(result).items() if fact.number is not None}
    assert len(try_values(result, many).values) == MOST


@pytest.mark.parametrize(
    ("number", "step", "text"),
    [(312.0, 1.0, "312"), (1.25, 0.05, "1.25"), (0.1 + 0.2, 0.1, "0.3"), (0.4, 0.002, "0.4"),
     (1 / 3, 0.5, "0.3333333333"), (1e-5, 1e-7, "0.00001"), (250000.0, 2000.0, "250000"), (-5.06, 0.05, "-5.06")],
)  # fmt: skip
def test_numbers_are_written_as_a_keeper_would(number: float, step: float, text: str) -> None:
    assert plain(number, step) == text


def test_of_a_part_all_is_told() -> None:
    part = part_of(compiled(HARBOUR), "going.third")
    assert part is not None
    assert part.line is not None
    assert (part.line.file, part.line.text) == ("penquay-harbour-office.movement", "arbor third")
    held, survey = (one for one in part.stated if one.what == "Wheel")
    assert (held.written, held.known.how, held.on, held.known.by) == (
        "72",
        "counted",
        "19 September 2025",
        "KT",
    )
    assert held.try_id == "going.third.wheel (teeth)"
    assert (survey.written, survey.holds, survey.try_id) == ("70", False, "")
    assert survey.known.source == "1952 survey, sheet 3"
    assert survey.line is not None
    assert survey.line.text.startswith("70   copied from")
    figures = {one.figure.id for one in part.figures}
    assert {
        "going.third.turns_per_hour",
        "going.third_escape.ratio",
        "going.centre_third.tooth_force",
    } <= figures
    assert not any(id.startswith("going.barrel_centre") for id in figures)
    assert part_of(compiled(HARBOUR), "going.nothing") is None
