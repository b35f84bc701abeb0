"""The registry of codes, and what `say` makes of them."""

from __future__ import annotations

import re
import subprocess
import sys

import pytest
from countwheel.diagnostics.record import Edit, Label
from countwheel.diagnostics.registry import CODES, say
from countwheel.source import Span

SPAN = Span("a.movement", 2, 5)


def test_every_code_is_an_m_and_three_digits_in_order() -> None:
    assert all(re.fullmatch(r"M[0-7]\d\d", code) for code in CODES)
    assert list(CODES) == sorted(CODES)
    assert all(code == entry.code for code, entry in CODES.items())


def test_titles_are_short_unlike_and_no_sentences() -> None:
    titles = [entry.title for entry in CODES.values()]
    assert len(set(titles)) == len(titles)
    assert all(len(title) <= 60 and not title.endswith(".") for title in titles)


def test_severities() -> None:
    lesser = {code: entry.severity for code, entry in CODES.items() if entry.severity != "error"}
    assert lesser == {
        "M006": "doubt",
        "M210": "doubt",
        "M508": "doubt",
        "M510": "doubt",
        "M517": "doubt",
        "M518": "advice",
        "M519": "advice",
        "M602": "advice",
        "M604": "advice",
        "M711": "doubt",
        "M712": "advice",
        "M713": "doubt",
        "M714": "doubt",
    }


def test_say_takes_the_severity_from_the_registry_and_freezes_what_it_is_given() -> None:
    other, edit = Label(SPAN, "here"), Edit(SPAN, "x", "write x")
    said = say("M508", SPAN, "too long", label="17 turns", others=[other], hints=["a", "b"], edits=[edit])
    assert said.severity == "doubt"
    assert (said.span, said.message, said.label) == (SPAN, "too long", "17 turns")
    assert (said.others, said.hints, said.edits) == ((other,), ("a", "b"), (edit,))
    assert say("M201", SPAN, "no").severity == "error"


def test_an_unknown_code_is_a_fault_of_ours() -> None:
    with pytest.raises(KeyError):
        say("M999", SPAN, "nothing")


def test_the_registry_brings_nothing_heavy_along() -> None:
    run = (
        "import sys; import countwheel.diagnostics.registry, countwheel.diagnostics.suggest,"
        " countwheel.diagnostics.render_text; print(*sys.modules)"
    )
    loaded = subprocess.run([sys.executable, "-c", run], capture_output=True, text=True, check=True)
    heavy = {"lark", "pydantic", "jinja2", "typst", "graphviz", "json", "importlib.resources"}
    mine = set(loaded.stdout.split())
    assert "countwheel.diagnostics.registry" in mine
    # What the interpreter itself has loaded at start-up (by way of .pth files) is not ours to judge.
    bare = subprocess.run(
        [sys.executable, "-c", "import sys; print(*sys.modules)"], capture_output=True, text=True, check=True
    )
    assert not heavy & (mine - set(bare.stdout.split()))
