"""A description that grows: the half unknown demo in five recorded steps, and a starter from its first line on."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from shutil import copytree

import pytest
from countwheel import api, cli
from countwheel.search.find import Found
from countwheel.search.gap import Gaps

ROPEWALK = Path(__file__).parents[2] / "specs" / "tarnholt-ropewalk" / "tarnholt-ropewalk.movement"

# What was found out, step by step: each line of the description as it stood, and as it was written then.
STEPS = Path(__file__).parent / "ropewalk.steps"


Lines = list[str]


def steps_taken() -> list[list[tuple[Lines, Lines]]]:
    """What was found out, step by step: how the lines of the description began, and what they became."""
    made: list[list[tuple[Lines, Lines]]] = []
    for block in STEPS.read_text(encoding="utf-8").split("\n\n"):
        lines = block.splitlines()
        if any(line.startswith("=") for line in lines):
            made.append([])
        old, new = ([line[1:] for line in lines if line.startswith(sign)] for sign in "<>")
        if old:
            made[-1].append((old, new))
    return made


def changed(text: str, old: Lines, new: Lines) -> str:
    lines = text.split("\n")
    places = [
        at
        for at in range(len(lines))
        if all(line.startswith(begin) for line, begin in zip(lines[at:], old, strict=False))
    ]
    assert len(places) == 1, old
    lines[places[0] : places[0] + len(old)] = new
    return "\n".join(lines)


def revisions(folder: Path) -> list[Path]:
    """The description as found, and after each step, each a file of its own beside the demo's photographs."""
    text = ROPEWALK.read_text(encoding="utf-8")
    made = []
    for number, step in enumerate([[], *steps_taken()]):
        for old, new in step:
            text = changed(text, old, new)
        path = folder / str(number) / "ropewalk.movement"
        path.parent.mkdir()
        path.write_text(text, encoding="utf-8")
        copytree(ROPEWALK.parent / "photos", path.parent / "photos")
        made.append(path)
    return made


@pytest.fixture(scope="module")
def steps(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[api.Result, Gaps, Found]]:
    made = []
    for path in revisions(tmp_path_factory.mktemp("ropewalk")):
        result = api.compile_file(path)
        gaps = api.gaps(result)
        assert result.clock is not None
        assert gaps is not None
        made.append((result, gaps, api.find(result.clock)))
    return made


def test_no_step_brings_an_error(steps: list[tuple[api.Result, Gaps, Found]]) -> None:
    for result, _, _ in steps:
        assert not [
            one.message for one in result.diagnostics if one.severity == "error" and one.code != "M701"
        ]


def test_the_list_shrinks_to_nothing(steps: list[tuple[api.Result, Gaps, Found]]) -> None:
    unknown = [sum(gap.kind != "weak" for gap in gaps.gaps) for _, gaps, _ in steps]
    assert unknown == sorted(unknown, reverse=True)
    assert len(set(unknown)) == len(unknown)  # each step makes it shorter
    assert unknown[0] > 35
    assert unknown[-1] == 0


def test_more_can_be_worked_out_at_each_step(steps: list[tuple[api.Result, Gaps, Found]]) -> None:
    def known(result: api.Result) -> int:
        """Without sizes for a wheel to be cut and deduced counts, which nobody needs once the part is there."""
        ids = (id for id, figure in result.figures.items() if figure.value is not None)
        return sum(".replacement." not in id and ".teeth" not in id for id in ids)

    counts = [known(result) for result, _, _ in steps]
    assert counts == sorted(counts)
    assert len(set(counts)) == len(counts)
    assert counts[-1] > 2.5 * counts[0]
    assert steps[-1][1].waiting < steps[0][1].waiting / 10


def test_the_candidates_fall(steps: list[tuple[api.Result, Gaps, Found]]) -> None:
    candidates = [sum(len(group.candidates) for group in found.groups) for _, _, found in steps]
    assert candidates == sorted(candidates, reverse=True)
    assert candidates[0] == 3  # one for the third wheel, two for the motion work
    assert candidates[-1] == 0
    assert steps[-1][2].groups == ()


def test_the_figures_tighten(steps: list[tuple[api.Result, Gaps, Found]]) -> None:
    """What was worked out before is at least as sure afterwards; the beat's own figures become far surer."""
    for (before, _, _), (after, _, _) in pairwise(steps):
        for id, figure in before.figures.items():
            then = after.figures.get(id)
            if (
                figure.uncertainty is None
                or then is None
                or not isinstance(then.value, float)
                or not figure.value
            ):
                continue
            was = figure.uncertainty / abs(float(figure.value))
            now = (then.uncertainty or 0.0) / abs(then.value)
            assert now <= was * 1.05 + 1e-12, id
    first, last = steps[0][0].figures["pendulum.beat"], steps[-1][0].figures["pendulum.beat"]
    assert (last.uncertainty or 0) < (first.uncertainty or 1) / 5


def test_the_crate_wheel_was_the_first_to_be_named(steps: list[tuple[api.Result, Gaps, Found]]) -> None:
    (group,) = [group for group in steps[0][2].groups if group.lost[0].name == "going.third.wheel"]
    assert group.candidates[0].counts == {"going.third.wheel": 60}


# -- from a name and one train -----------------------------------------------------------------


def test_each_run_says_what_to_record_next(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["new", "Corner clock", "--train", "going", "--in", str(tmp_path)]) == 0
    path = tmp_path / "corner-clock" / "corner-clock.movement"
    asked: list[str] = []
    answers = {
        "going.barrel.turns": "    turns ?|    turns anticlockwise",
        "going.barrel.diameter": "      diameter      ?|      diameter      250 mm",
        "going.barrel.turns_of_line": "      turns of line ?|      turns of line 16",
        "going.barrel.parts": "      parts         ?|      parts         1",
        "going.barrel.line.diameter": "        diameter ?|        diameter 6 mm",
        "going.barrel.fall": "      fall          ?|      fall          12 m",
        "going.barrel.weight": "      weight        ?|      weight        60 kg",
        "going.barrel.great": "    wheel great ?|    wheel great 144",
        "going.centre.pinion": "  arbor centre\n    pinion ?|  arbor centre\n    pinion 12",
        "going.centre.wheel": "    wheel  ?|    wheel  80",
        "going.escape.pinion": "  arbor escape\n    pinion ?|  arbor escape\n    pinion 8",
        "going.escape.escape_wheel": "    escape wheel ?|    escape wheel 30",
        "clock.place.latitude": "    latitude ?|    latitude 50 °N",
        "pendulum.half_arc": "  half arc ?|  half arc 2 °",
        "escapement": "escapement ?|escapement deadbeat",
        "pendulum.bob.mass": "    mass ?|    mass 60 kg",
        "pendulum.rating_nut.thread": "    thread ?|    thread 1.5 mm",
        "motion_work.cannon_pinion": "  cannon pinion ?|  cannon pinion 30",
        "motion_work.minute_wheel": "  minute wheel  ?|  minute wheel  90",
        "motion_work.minute_pinion": "  minute pinion ?|  minute pinion 20",
        "motion_work.hour_wheel": "  hour wheel    ?|  hour wheel    80",
        "going.winding.jack": "      jack ?|      jack 12 drives 96",
        "going.winding.handle": "      handle ?|      handle 280 mm",
        "pendulum.beat": "  beat ?|  beat 1.5 s",
        "dial.driven_by": "  driven by ?|  driven by going.centre on far side",
    }  # fmt: skip
    known: list[int] = []
    for _ in range(8):
        capsys.readouterr()
        assert cli.main(["check", str(path)]) == 0
        said = capsys.readouterr().out.partition("next: ")[2]
        assert said
        fact = said.split("`")[1]
        assert fact in answers, said
        assert fact not in asked
        asked.append(fact)
        old, new = answers[fact].split("|")
        text = path.read_text(encoding="utf-8")
        assert old in text, old
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
        known.append(sum(figure.value is not None for figure in api.compile_file(path).figures.values()))
    assert known == sorted(known)
    assert known[-1] > known[0]


def test_of_a_clock_that_is_known_nothing_more_is_asked(capsys: pytest.CaptureFixture[str]) -> None:
    cli.main(["check", str(ROPEWALK.parents[1] / "penquay-harbour-office")])
    assert "next:" not in capsys.readouterr().out
