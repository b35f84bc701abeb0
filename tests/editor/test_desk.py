"""Which description an open file belongs to, and what counts: the text that is open, before the one on the disk."""

from __future__ import annotations

from pathlib import Path

import pytest
from countwheel.editor.desk import NAMELESS, Desk
from editing import MAIN, NAMES, STRIKE
from pygls.uris import to_fs_path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name, text in NAMES.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def test_an_included_file_belongs_to_the_description_above(folder: Path) -> None:
    desk = Desk(to_fs_path)
    uri = (folder / "trains" / "strike.movement").as_uri()
    desk.put(uri, 1, STRIKE)
    main = desk.main_of(uri)
    assert main == str(folder / "main.movement")
    analysis = desk.analysis(desk.work(main))
    assert set(analysis.sources) == {main, desk.file_of(uri, main)}


def test_a_file_that_is_included_by_an_included_one_belongs_to_the_first(folder: Path) -> None:
    desk = Desk(to_fs_path)
    (folder / "trains" / "strike.movement").write_text('include "../bells/bells.movement"\n')
    (folder / "bells").mkdir()
    bells = folder / "bells" / "bells.movement"
    bells.write_text('bell "quarter"\n')
    desk.put(bells.as_uri(), 1, bells.read_text())
    assert desk.main_of(bells.as_uri()) == str(folder / "main.movement")


def test_an_include_line_that_is_not_saved_counts(folder: Path) -> None:
    desk = Desk(to_fs_path)
    main, strike = (folder / name for name in NAMES)
    desk.put(strike.as_uri(), 1, STRIKE)
    desk.put(main.as_uri(), 1, MAIN.replace("include", "# include"))
    assert desk.main_of(strike.as_uri()) == str(strike)
    desk.put(main.as_uri(), 2, MAIN)
    assert desk.main_of(strike.as_uri()) == str(main)


def test_an_include_line_in_a_text_counts_for_nothing(folder: Path) -> None:
    desk = Desk(to_fs_path)
    (folder / "main.movement").write_text(
        'clock "A"\n  history """\n    include "trains/strike.movement"\n    """\n'
    )
    uri = (folder / "trains" / "strike.movement").as_uri()
    desk.put(uri, 1, STRIKE)
    assert desk.main_of(uri) == str(folder / "trains" / "strike.movement")


def test_what_was_read_is_kept_until_a_text_of_it_changes(folder: Path) -> None:
    desk = Desk(to_fs_path)
    uri = (folder / "main.movement").as_uri()
    desk.put(uri, 1, MAIN)
    main = desk.main_of(uri)
    first = desk.analysis(desk.work(main))
    assert desk.analysis(desk.work(main)) is first
    old = desk.work(main)
    desk.put(uri, 1, MAIN.replace("80", "81"))  # an editor that counts no versions
    assert desk.work(main).key != old.key
    assert desk.analysis(desk.work(main)) is not first
    second = desk.analysis(desk.work(main))
    desk.changed_outside()
    assert desk.analysis(desk.work(main)) is not second


def test_a_text_in_no_file_is_a_description_of_its_own() -> None:
    desk = Desk(to_fs_path)
    desk.put("untitled:Untitled-1", 1, MAIN)
    main = desk.main_of("untitled:Untitled-1")
    assert desk.file_of("untitled:Untitled-1", main) == NAMELESS
    analysis = desk.analysis(desk.work(main))
    document = desk.document_of(NAMELESS, main)
    assert analysis.clock.name == "Quarry Lane 🕰 clock"
    assert document is not None
    assert document.uri == main
