"""What is unknown, what each fact would settle, and that this is what happens when it is found out."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest
from countwheel import api, cli
from countwheel.checks.waiting import not_stated
from countwheel.emit import gaps_json
from countwheel.search.filling import filled
from countwheel.search.gap import Gap, Gaps
from countwheel.search.measuring import means, place

jsonschema: Any = pytest.importorskip("jsonschema")
SPECS = sorted(
    path
    for path in (Path(__file__).parents[2] / "specs").glob("*/*.movement")
    if path.stem == path.parent.name
)

CLOCK = """countwheel 1
clock "x"
  place "p"
    latitude 50 °N
    above sea 20 m
train going
  arbor barrel
    barrel
      diameter {diameter}
      turns of line {turns}
      parts 1
      fall {fall}
      weight 60 kg {weighed}
      line steel wire rope
        diameter 6 mm measured
    wheel great 144
  arbor centre
    pinion 12
    wheel {centre}
    rate once an hour
    turns clockwise
  arbor third
    pinion 10
    wheel {third}
  arbor escape
    pinion 12
    escape wheel 30
escapement deadbeat
pendulum
  beat 1.25 s
"""
KNOWN = {
    "diameter": "250 mm ± 10 mm measured", "turns": "17 counted", "fall": "12 m ± 5 cm measured", "weighed": "stamped",
    "centre": "80", "third": "72",
}  # fmt: skip


def looked_at(tmp_path: Path, text: str) -> Gaps:
    path = tmp_path / "x.movement"
    path.write_text(text, encoding="utf-8")
    result = api.compile_file(path)
    found = api.gaps(result)
    assert found is not None, result.diagnostics
    assert path.read_text(encoding="utf-8") == text  # the keeper's file stays as it was
    return found


def clock(tmp_path: Path, **changed: str) -> Gaps:
    return looked_at(tmp_path, CLOCK.format(**KNOWN | changed))


def gap(gaps: Gaps, path: str) -> Gap:
    return next(one for one in gaps.gaps if one.path == path)


# -- what a fact holds up ----------------------------------------------------------------


def test_a_figure_that_waits_for_two_facts_is_shared_between_them(tmp_path: Path) -> None:
    found = clock(tmp_path, turns="?", fall="?")
    by_turns = {one.figure: one.settles for one in gap(found, "going.barrel.turns_of_line").holds}
    by_fall = {one.figure: one.settles for one in gap(found, "going.barrel.fall").holds}
    assert by_turns["going.duration.by_turns"] == 1  # waits for the turns alone
    assert by_fall["going.duration.by_fall"] == 1
    assert by_turns["going.duration"] == by_fall["going.duration"] == 0.5
    assert "going.duration.by_fall" not in by_turns


def test_what_is_found_settles_what_was_said(tmp_path: Path) -> None:
    before = clock(tmp_path, fall="?")
    alone = {one.figure for one in gap(before, "going.barrel.fall").holds if one.settles == 1}
    result = api.check_text(CLOCK.format(**KNOWN))
    assert len(alone) > 3
    assert not [id for id in alone if result.figures[id].value is None]


def test_measuring_again_makes_a_figure_as_much_surer_as_was_said(tmp_path: Path) -> None:
    before = api.check_text(CLOCK.format(**KNOWN))
    found = gap(clock(tmp_path), "going.barrel.diameter")
    best = means("diameter", "length", 0.25).half_width(0.25)
    after = api.check_text(CLOCK.format(**KNOWN | {"diameter": f"250 mm ± {best * 1000:g} mm measured"}))
    assert len(found.holds) > 3
    for one in found.holds:
        was, now = before.figures[one.figure].uncertainty, after.figures[one.figure].uncertainty
        assert was is not None
        assert now is not None
        assert 1 - now / was == pytest.approx(one.settles, abs=1e-6), one.figure


def test_what_is_enough_brings_nine_tenths_of_the_best(tmp_path: Path) -> None:
    loose = {"diameter": "250 mm ± 10 mm told"}
    enough = gap(clock(tmp_path, **loose), "going.barrel.diameter").enough
    best = means("diameter", "length", 0.25).half_width(0.25)

    def settled(tolerance: str) -> float:
        before = api.check_text(CLOCK.format(**KNOWN | loose)).figures
        after = api.check_text(CLOCK.format(**KNOWN | {"diameter": f"250 mm {tolerance} measured"})).figures
        return math.fsum(
            1 - (after[id].uncertainty or 0) / figure.uncertainty
            for id, figure in before.items()
            if figure.uncertainty and "going.barrel.diameter" in figure.budget
        )

    # the tolerance is told to one digit or two
    assert settled(enough) / settled(f"± {best * 1000:g} mm") == pytest.approx(0.9, abs=0.05)


def test_a_fact_on_trust_is_listed_with_what_stands_on_it(tmp_path: Path) -> None:
    told = gap(clock(tmp_path, centre='80 told by "a neighbour"'), "going.centre.wheel")
    assert told.kind == "weak"
    assert told.rests > 3
    assert told in clock(tmp_path, centre='80 told by "a neighbour"').worklist


# -- the worklist ------------------------------------------------------------------------


def test_a_fact_that_is_found_makes_the_list_shorter(tmp_path: Path) -> None:
    steps = [
        clock(tmp_path, turns="?", fall="?", centre="?", third="?"),
        clock(tmp_path, turns="?", fall="?", third="?"),
        clock(tmp_path, turns="?"),
        clock(tmp_path),
    ]
    unknown = [sum(one.kind != "weak" for one in step.worklist) for step in steps]
    assert unknown == sorted(unknown, reverse=True)
    assert len(set(unknown)) == len(unknown)
    known = [step.known for step in steps]
    assert known == sorted(known)


def test_what_is_lost_cannot_be_measured(tmp_path: Path) -> None:
    found = clock(tmp_path, third="? 60..80 lost", centre="? 70..90")
    assert gap(found, "going.third.wheel").lost
    paths = [one.path for one in found.worklist]
    assert "going.third.wheel" not in paths
    assert "going.centre.wheel" in paths
    # the pivot holes are still there: their distance tells the candidates apart too
    assert "going.third_escape" in paths


def test_at_a_clock_that_stands_the_beat_is_not_on_the_list(tmp_path: Path) -> None:
    text = CLOCK.format(**KNOWN).replace("beat 1.25 s", 'beat 1.25 s told by "a neighbour"')
    assert "pendulum.beat" in [one.path for one in looked_at(tmp_path, text).worklist]
    stopped = text.replace('  place "p"', '  stopped since 1971\n  place "p"')
    assert "pendulum.beat" not in [one.path for one in looked_at(tmp_path, stopped).worklist]


def test_the_best_for_its_time_comes_first_in_each_place(tmp_path: Path) -> None:
    found = clock(tmp_path, turns="?", fall="?", centre="?", third="?", diameter="?")
    for _, several in found.by_place():
        worth = [one.worth for one in several]
        assert worth == sorted(worth, reverse=True)
    assert gap(found, "going.barrel.fall").where == "where the weights hang"
    assert gap(found, "going.barrel.diameter").where == "at the movement"


def test_a_count_strikes_out_candidates(tmp_path: Path) -> None:
    found = clock(tmp_path, centre="? 60..90", third="? 60..90")
    assert gap(found, "going.centre.wheel").candidates > 0.5
    assert gap(clock(tmp_path, centre="? 60..90"), "going.centre.wheel").candidates == 0  # one alone follows


def test_a_count_that_follows_from_the_others_holds_nothing_up(tmp_path: Path) -> None:
    assert gap(clock(tmp_path, centre="?"), "going.centre.wheel").holds == ()


# -- filling ----------------------------------------------------------------------------------


@pytest.mark.parametrize("path", SPECS, ids=lambda path: path.stem)
def test_a_filled_description_leaves_little_to_wait_for(path: Path) -> None:
    result = api.compile_file(path)
    found = api.gaps(result)
    assert found is not None
    assert result.clock is not None
    texts = filled(result.clock, tuple(not_stated(result.clock, result.figures)), {}, result.sources)
    base = result.file[: len(result.file) - len(path.name)]
    full = api.check_text(texts[result.file], result.file, lambda name: texts[base + name], working=False)
    waits = sum(figure.waits for figure in full.figures.values())
    assert waits <= sum(figure.waits for figure in result.figures.values()) / 2 + 3
    assert found.gaps or not waits


def test_a_place_is_told_by_the_nearest_word() -> None:
    assert place(("train", "barrel", "weight")) == "where the weights hang"
    assert place(("dial", "minute hand", "length")) == "at the dials, from inside"
    assert place(("dial", "above ground")) == "outside, on the ground"
    assert place(("something else",)) == "at the movement"


def test_small_things_are_measured_with_finer_tools() -> None:
    needed = [means("x", "length", size).needed for size in (0.01, 0.3, 2, 12)]
    assert len(set(needed)) == 4
    assert [means("x", "length", size).half_width(size) for size in (0.01, 0.3, 2, 12)] == sorted(
        means("x", "length", size).half_width(size) for size in (0.01, 0.3, 2, 12)
    )
    assert not means("efficiency", "percent").any


# -- the command ---------------------------------------------------------------------------------


def test_the_json_is_as_its_schema_says(tmp_path: Path) -> None:
    made = json.loads(gaps_json.dump("x", clock(tmp_path, centre="?", third="? lost", fall="?")))
    jsonschema.Draft202012Validator(gaps_json.schema()).validate(made)
    assert all(math.isfinite(one["settles"]) for one in made["gaps"])


def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "x.movement"
    path.write_text(CLOCK.format(**KNOWN | {"fall": "? about 12 m"}), encoding="utf-8")
    assert cli.main(["gaps", str(path)]) == 0
    printed = capsys.readouterr().out
    assert "going train: fall of the weight   [going.barrel.fall]" in printed
    assert "not known but for this: about 12 m" in printed
    assert "in the manual: This clock at a glance, Winding" in printed
    assert cli.main(["gaps", str(path), "--to", str(tmp_path / "sheets")]) == 0
    assert {one.name for one in (tmp_path / "sheets").iterdir()} == {"measuring.html", "measuring.pdf"}
    page = (tmp_path / "sheets" / "measuring.html").read_text(encoding="utf-8")
    assert "Good enough" in page
    assert "Tell somebody where you are" in page


def test_a_quantity_is_told_in_the_unit_it_was_written_in(tmp_path: Path) -> None:
    found = gap(clock(tmp_path, diameter="10 in ± 1/2 in told"), "going.barrel.diameter")
    assert found.enough.endswith(" in")
