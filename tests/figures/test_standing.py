"""A figure stands on the weakest of all its inputs, through figures on figures, words and assumed constants."""

from __future__ import annotations

from pathlib import Path

import pytest
from countwheel import api
from countwheel.figures.terms import STANDINGS
from figure_texts import compiled

ROOT = Path(__file__).parents[2]
CLOCKS = sorted(
    [path for path in (ROOT / "specs").glob("*/*.movement") if path.stem == path.parent.name]
    + list((ROOT / "tests" / "outside" / "clocks").glob("*.movement"))
)


def _standing(evidence: str) -> str:
    """The standing of one input, read anew from the words that are printed of it."""
    if "doubted:" in evidence or evidence.endswith(" perhaps"):
        return "doubted"
    return evidence.split(" ")[0]


@pytest.mark.parametrize("path", CLOCKS, ids=lambda path: path.stem)
def test_each_figure_stands_on_its_weakest_input(path: Path) -> None:
    figures = api.compile_file(str(path)).figures.values()
    assert figures
    for figure in figures:
        known = [_standing(one.evidence) for one in figure.inputs]
        ranks = [STANDINGS.index(how) for how in known if how in STANDINGS]
        assert figure.standing == (STANDINGS[max(ranks)] if ranks else "exact"), figure.id
        weak = {one.path for one in figure.inputs if _standing(one.evidence) == figure.standing}
        assert set(figure.weakest) == weak, figure.id


# Words, doubts and constants, each the one thing that is weak behind the figure named.
@pytest.mark.parametrize(
    ("lines", "id", "standing"),
    [
        ("  rod steel told\n", "pendulum.temperature_coefficient", "told"),
        ("  rod steel measured doubted\n", "pendulum.temperature_coefficient", "doubted"),
        ("  rod steel measured\n", "pendulum.temperature_coefficient", "measured"),
    ],
)
def test_a_word_weakens_what_rests_on_it(lines: str, id: str, standing: str) -> None:
    text = f"pendulum\n  beat 1 s measured\n{lines}"
    assert compiled(text).figures[id].standing == standing


def test_a_doubted_value_weakens_figures_on_figures() -> None:
    text = (
        "train going\n  arbor centre\n    wheel 80 counted\n    rate once an hour measured\n"
        '  arbor third\n    pinion 10 counted doubted "worn"\n    wheel 75 counted\n'
        "  arbor escape\n    pinion 10 counted\n    escape wheel 30 counted\n"
    )
    figures = compiled(text).figures
    assert figures["going.third_escape.ratio"].standing == "counted"
    assert figures["going.escape.turns_per_hour"].standing == "doubted"
    assert figures["going.escape.turns_per_hour"].weakest == ("going.third.pinion (teeth)",)
