"""The code kept with the templates is what jinja2 makes of them.

Run as a script it writes that code anew: after every change of a template.
"""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import jinja2
import pytest
from countwheel.emit import templating

HERE = Path(str(files("countwheel.emit").joinpath(templating.MADE)))
NAMES = templating.environment().list_templates(extensions=["j2"])


@pytest.mark.parametrize("name", NAMES)
def test_kept_code_is_of_the_template_as_it_is(name: str) -> None:
    kept, anew = (HERE / f"{name}.code").read_text(encoding="utf-8"), templating.code_of(name)
    (made, _, of), (now, _, here) = (text.partition("\n")[0].partition(" of ") for text in (kept, anew))
    assert of == here
    if made == now:  # another release of jinja2 may word its code otherwise
        assert kept == anew


def test_nothing_is_kept_of_a_template_that_is_gone() -> None:
    assert {one.name for one in HERE.glob("*.code")} == {f"{name}.code" for name in NAMES}


def test_kept_code_is_used(monkeypatch: pytest.MonkeyPatch) -> None:
    made = templating.environment().overlay()
    monkeypatch.setattr(
        jinja2.Environment, "compile", lambda *_, **__: pytest.fail("a template was compiled")
    )
    for name in NAMES:
        made.get_template(name)


def test_a_template_that_was_changed_is_compiled_from_its_text() -> None:
    made = templating.environment().overlay(loader=jinja2.DictLoader({"rota.xml.j2": "<p>{{ 1 + 1 }}</p>"}))
    assert made.get_template("rota.xml.j2").render() == "<p>2</p>"


if __name__ == "__main__":
    HERE.mkdir(exist_ok=True)
    for old in HERE.iterdir():
        old.unlink()
    for name in NAMES:
        (HERE / f"{name}.code").write_text(templating.code_of(name), encoding="utf-8")
