"""Descriptions made from the vocabulary and changed by its tokens: a short run of what `long.py` does for hours."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from random import Random

import corpus
import holds
import pytest
from fuzz_making import Maker, samples
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parents[1] / "properties"))
from test_made_descriptions import Part, parts, printed

HERE = Path(__file__).parent
HANGS = 60.0  # seconds
SHORT = settings(max_examples=80, deadline=None, suppress_health_check=list(HealthCheck))
FEW = settings(max_examples=10, deadline=None, suppress_health_check=list(HealthCheck))
LIKED = [corpus.read(path) for path in corpus.inputs()]


@SHORT
@given(st.randoms(use_true_random=False))
def test_made_and_changed(dice: Random) -> None:
    holds.look(Maker(dice, LIKED).next(), printed=False, seconds=HANGS)


@SHORT
@given(parts(), st.randoms(use_true_random=False))
def test_of_every_word_and_changed(whole: tuple[Part, ...], dice: Random) -> None:
    holds.look(Maker(dice, LIKED).mutated(printed(whole)), printed=False, seconds=HANGS)


@FEW
@given(st.randoms(use_true_random=False))
def test_all_that_is_printed_of_what_was_made(dice: Random) -> None:
    holds.everything_printed(Maker(dice, LIKED).description(), seconds=HANGS)


@FEW
@given(parts())
def test_all_that_is_printed_of_every_word(whole: tuple[Part, ...]) -> None:
    holds.everything_printed(printed(whole), seconds=HANGS)


def test_one_is_built_whole_with_its_papers() -> None:
    text = 'countwheel 1\nclock "A"\ntrain going\n  arbor a\n    wheel 96\n  arbor b\n    pinion 8\n'
    assert holds.everything_printed(text, pdf=True, seconds=HANGS)


def test_chance_makes_the_same_again() -> None:
    made = [[Maker(dice).next() for _ in range(40)] for dice in (Random("a"), Random("a"), Random("b"))]
    assert made[0] == made[1] != made[2]
    assert all(Maker(Random(seed)).mutated(samples()[0]) for seed in range(40))


def _hang() -> None:
    while True:
        pass


def test_what_does_not_hold_is_told() -> None:
    """The limits are felt: of a program that hangs, and of a place outside its file."""
    with pytest.raises(holds.TooSlow), holds.within(0.05):
        _hang()
    seen = holds.look("wheel 3\n")
    shorter = seen.result._replace(sources={holds.FILE: holds.Source(holds.FILE, "")})
    with pytest.raises(holds.Breach, match="outside its file"):
        holds.spans_inside(shorter)


def test_a_run_keeps_its_account_and_goes_on(tmp_path: Path) -> None:
    for wanted in ("200", "300"):
        call = [sys.executable, str(HERE / "long.py"), "--inputs", wanted, "--state", str(tmp_path)]
        made = subprocess.run(call, capture_output=True, text=True)
        assert made.returncode == 0, made.stdout + made.stderr
    known = json.loads((tmp_path / "inputs-0.json").read_text(encoding="utf-8"))
    assert known["inputs"] == 400  # in whole blocks
    assert known["faults"] == {}
    assert "inputs" in made.stdout
