"""Whatever stands in a file, compiling it ends in a result: no exception, every place inside its file, the same twice.

`HYPOTHESIS_PROFILE=hunt python -m pytest tests/properties` looks for hours where the usual run looks for seconds.
"""

from __future__ import annotations

import json
import os
from pathlib import Path

from countwheel import files
from countwheel.api import Result, check_text
from countwheel.diagnostics import render_json, render_sarif, render_text
from hypothesis import given, settings
from hypothesis import strategies as st

ROOT = Path(__file__).parent.parent.parent
USUAL = os.environ.get("HYPOTHESIS_PROFILE", "usual") == "usual"


def examples(number: int) -> settings:
    """So many examples in the usual run; as many as the profile says in a longer one."""
    return settings(max_examples=number) if USUAL else settings()


def _samples() -> list[str]:
    short = sorted((ROOT / "tests" / "cases").rglob("*.movement"))
    whole = [] if USUAL else sorted((ROOT / "specs").rglob("*.movement"))
    return [path.read_text(encoding="utf-8") for path in (*short, *whole)]


SAMPLES = _samples()
_WORDS = (
    "? .. ... … 1/0 0/0 1/2 12 -3 −3 1e99 1e-99 999999999999999999 "
    '10000000000000000000000000000000 NaN inf ½ 5½ 1,5 1.2.3 " """ # ± +/- % ° in mm cwt °N K '
    "s an hour no lost perhaps doubted counted measured on by from or about odd even drives "
    "driven once every of to at , . 48, going going.centre going.barrel.weight strike clock "
    "train arbor wheel pinion barrel line pulley weight escapement pendulum bob rod dial "
    "season log expect care photo bell hammer count quarter remontoire include winding lasts "
    "at least turns clockwise right fast slow 2026-05-02 2026-02-30 25:61 09:00 1931 "
    "Europe/London steel wire rope deadbeat \t \x00 \u2028 \ufeff \u202e 𝄞 ١٢"
)
TOKENS = _WORDS.split(" ")


def everything_said(result: Result) -> tuple[str, str, str]:
    found = list(result.diagnostics)
    return (
        render_text.render(found, result.sources),
        render_json.dump(found, result.sources),
        render_sarif.dump(found, result.sources, version="0"),
    )


def compile_and_look(text: str) -> None:
    result = check_text(text, "a folder/x.movement")
    for one in result.diagnostics:
        spans = [one.span, *(label.span for label in one.others), *(edit.span for edit in one.edits)]
        for span in spans:
            source = result.sources[span.file]
            assert 0 <= span.start <= span.end <= len(source.text), one
        assert one.message
        assert "countwheel." not in one.message
    text_out, json_out, sarif_out = everything_said(result)
    json.loads(json_out)
    json.loads(sarif_out)
    assert "\x1b" not in text_out
    again = check_text(text, "a folder/x.movement")
    assert everything_said(again) == (text_out, json_out, sarif_out)
    assert [figure.id for figure in again.figures.values()] == [
        figure.id for figure in result.figures.values()
    ]
    assert [figure.shown for figure in again.figures.values()] == [f.shown for f in result.figures.values()]


@examples(60)
@given(st.text(max_size=400))
def test_any_characters(text: str) -> None:
    compile_and_look(text)


@examples(60)
@given(st.binary(max_size=400))
def test_any_bytes(data: bytes) -> None:
    try:
        text = files.decode(data)
    except files.Trouble as trouble:
        text = trouble.why  # what a keeper is told of it
    compile_and_look(text)


@examples(60)
@given(st.lists(st.tuples(st.integers(0, 9), st.lists(st.sampled_from(TOKENS), max_size=8)), max_size=30))
def test_words_of_the_language_in_any_order(lines: list[tuple[int, list[str]]]) -> None:
    compile_and_look("\n".join(" " * depth + " ".join(words) for depth, words in lines))


@st.composite
def mutated(draw: st.DrawFn) -> str:
    """A real description with some of its lines deleted, doubled, changed over, shifted, cut or otherwise spoilt."""
    lines = draw(st.sampled_from(SAMPLES)).split("\n")
    for _ in range(draw(st.integers(1, 6))):
        at = draw(st.integers(0, len(lines) - 1))
        to = draw(st.integers(0, len(lines) - 1))
        how = draw(
            st.sampled_from(
                ("delete", "double", "swap", "deeper", "shallower", "cut", "token", "insert", "drop")
            )
        )
        words = lines[at].split(" ")
        place = draw(st.integers(0, len(words) - 1))
        if how == "delete":
            del lines[at]
        elif how == "double":
            lines.insert(to, lines[at])
        elif how == "swap":
            lines[at], lines[to] = lines[to], lines[at]
        elif how == "deeper":
            lines[at] = " " * draw(st.integers(1, 5)) + lines[at]
        elif how == "shallower":
            lines[at] = lines[at][draw(st.integers(1, 4)) :]
        elif how == "cut":
            lines[at] = lines[at][: draw(st.integers(0, len(lines[at])))]
        elif how == "token":
            words[place] = draw(st.sampled_from(TOKENS))
            lines[at] = " ".join(words)
        elif how == "insert":
            words.insert(place, draw(st.sampled_from(TOKENS)))
            lines[at] = " ".join(words)
        else:
            del lines[at : at + draw(st.integers(1, 12))]
        lines = lines or [""]
    return "\n".join(lines)


@examples(60)
@given(mutated())
def test_real_descriptions_spoilt(text: str) -> None:
    compile_and_look(text)
