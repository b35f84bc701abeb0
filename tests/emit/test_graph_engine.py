"""The layout engine: found without a PATH, alone with sizes, leaving nothing behind."""

from __future__ import annotations

import os
import socket
from pathlib import Path

import build
import pytest
from countwheel.emit import layout_engine
from countwheel.emit.draw_train import train_graph
from countwheel.emit.drawings import draw_all
from countwheel.emit.graph_places import dot_text, size_graph
from countwheel.emit.layout_engine import NoLayoutEngine, find_engine, lay_out, run

SMALL = 'digraph { a [shape=box width=1 height=0.5 fixedsize=true label=""]; a -> b [id=e0] }'

#: The drawings that an engine lays out; what is drawn to scale needs none.
GRAPHS = ("train-", "way-")


def test_the_engine_comes_with_the_package_and_needs_no_path(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    assert layout_engine.PACKAGE in find_engine()[1]
    drawings = draw_all(build.clock(), build.figures(build.clock()))
    laid_out = [drawing for drawing in drawings if drawing.id.startswith(GRAPHS)]
    assert laid_out
    assert all(layout_engine.PACKAGE in drawing.engine for drawing in laid_out)


def test_dot_text_becomes_svg() -> None:
    svg, _ = run(SMALL, "svg")
    assert "<svg" in svg


def test_places_have_y_downwards() -> None:
    places = lay_out(SMALL)
    assert places.boxes["a"][1] < places.boxes["b"][1]
    assert places.routes["e0"].tip[1] <= places.boxes["b"][1]


def test_a_dot_on_the_path_is_the_alternative(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    clock = build.clock()
    first = draw_all(clock, build.figures(clock))
    (tmp_path / "dot").symlink_to(find_engine()[0])
    monkeypatch.setattr(layout_engine, "_shipped", lambda: None)
    monkeypatch.setenv("PATH", str(tmp_path))
    second = draw_all(clock, build.figures(clock))
    assert {one.engine for one in second if one.id.startswith(GRAPHS)} == {"dot of this machine"}
    # Which engine drew it is told to the caller and never written into the drawing.
    assert [drawing.svg for drawing in first] == [drawing.svg for drawing in second]


def test_no_engine_at_all_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(layout_engine, "_shipped", lambda: None)
    monkeypatch.setenv("PATH", "")
    with pytest.raises(NoLayoutEngine, match=layout_engine.PACKAGE):
        run(SMALL)


def test_text_that_is_no_graph_is_refused() -> None:
    with pytest.raises(NoLayoutEngine, match="lay the drawing out"):
        run("digraph { a -> ")


def test_nothing_is_left_behind_and_nothing_is_fetched(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("a drawing must not open a socket")

    monkeypatch.setattr(socket, "socket", refuse)
    monkeypatch.chdir(tmp_path)
    for name in ("TMPDIR", "TMP", "TEMP"):
        monkeypatch.setenv(name, str(tmp_path))
    clock = build.clock()
    draw_all(clock, build.figures(clock))
    assert os.listdir(tmp_path) == []


def test_the_engine_is_given_no_word_of_the_description() -> None:
    """So no label, however written, can break or steer the layout."""
    clock = build.clock()
    sized = size_graph(train_graph(clock, clock.trains[0], build.figures(clock)), 250)
    text = dot_text(sized.boxes, sized.links)
    for word in ("barrel", "centre", "third", "great", "rope", "deadbeat", "144"):
        assert word not in text
