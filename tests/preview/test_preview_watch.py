"""Keeping up: what is saved comes to the page, what is not ours does not, a broken file leaves the last good pages."""

from __future__ import annotations

import http.client
import os
import shutil
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from countwheel.files import Folder
from countwheel.preview.desk import Desk
from countwheel.preview.watch import Watch
from previewed import HARBOUR, Served, serving

PATIENCE = 30.0  # seconds until a test gives up waiting for what must come


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    with serving(tmp_path) as found:
        yield found


@pytest.fixture
def still(tmp_path: Path) -> tuple[Path, Desk, Watch]:
    """A description that is watched by hand: nothing looks unless it is told to."""
    shutil.copytree(HARBOUR, tmp_path / HARBOUR.name)
    file = tmp_path / HARBOUR.name / f"{HARBOUR.name}.movement"
    desk = Desk(str(file))
    return file, desk, Watch(Folder(file.parent), desk.watched, desk.read)


def wait_for(true: Callable[[], bool]) -> None:
    end = time.monotonic() + PATIENCE
    while not true():
        assert time.monotonic() < end, "it did not come"
        time.sleep(0.02)


def test_a_saved_file_is_told_to_the_page(served: Served) -> None:
    line = http.client.HTTPConnection("127.0.0.1", served.server.port, timeout=PATIENCE)
    line.request("GET", f"/{served.server.key}/events")
    answer = line.getresponse()
    assert answer.getheader("Content-Type") == "text/event-stream"
    assert [answer.readline() for _ in range(3)] == [b"event: version\n", b"data: 1\n", b"\n"]
    served.change("jack 12 drives 96", "jack 12 drives 90")
    told = b""
    while b"data: 2\n" not in told:
        told += answer.readline()
    assert b"event: version\n" in told
    line.close()
    assert 'data-version="2"' in served.ask().text


def test_every_file_that_was_read_is_watched(served: Served) -> None:
    assert "trains/chime.movement" in served.desk.watched()
    assert "photos/slabs.png" in served.desk.watched()
    text = (served.file.parent / "trains" / "chime.movement").read_text(encoding="utf-8")
    (served.file.parent / "trains" / "chime.movement").write_text(text + "# looked over\n", encoding="utf-8")
    wait_for(lambda: served.desk.version == 2)
    (served.file.parent / "photos" / "slabs.png").unlink()
    wait_for(lambda: served.desk.version == 3)
    assert "M701" in served.ask("amiss").text


def test_what_editors_put_beside_it_goes_unseen(still: tuple[Path, Desk, Watch]) -> None:
    file, desk, watch = still
    for name in (
        f"{file.name}~",
        f".{file.name}.swp",
        f"#{file.name}#",
        "4913",
        f"{file.stem}.bak",
        "other.movement",
    ):
        (file.parent / name).write_text("countwheel 1\n", encoding="utf-8")
    (file.parent / f".#{file.name}").symlink_to("keeper@nowhere.1")
    assert not watch.look_once()
    assert desk.version == 1


def test_a_file_that_is_touched_or_saved_as_it_was_is_no_change(still: tuple[Path, Desk, Watch]) -> None:
    file, desk, watch = still
    os.utime(file, (1, 1))
    assert not watch.look_once()
    file.write_bytes(file.read_bytes())
    assert not watch.look_once()
    assert desk.version == 1


def test_a_new_file_in_the_place_of_the_old_is_a_change_though_its_time_and_size_are_the_same(
    still: tuple[Path, Desk, Watch],
) -> None:
    file, desk, watch = still
    stamp = file.stat()
    fresh = file.with_name("fresh")
    fresh.write_text(file.read_text(encoding="utf-8").replace("drives 96", "drives 90"), encoding="utf-8")
    os.utime(fresh, ns=(stamp.st_atime_ns, stamp.st_mtime_ns))
    os.replace(fresh, file)
    assert (file.stat().st_size, file.stat().st_mtime_ns) == (stamp.st_size, stamp.st_mtime_ns)
    assert watch.look_once()
    assert desk.version == 2


def test_a_burst_of_saving_is_read_once_when_it_has_ended(
    still: tuple[Path, Desk, Watch], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whenever the watch waits for quiet the file is written once more, five times over."""
    file, desk, watch = still
    text = file.read_text(encoding="utf-8")
    left = list(range(5))

    def wait(seconds: float) -> bool:
        if left:
            file.write_text(f"{text}# {left.pop()}\n" + "#\n" * len(left), encoding="utf-8")
        return False

    file.write_text(f"{text}# begun\n", encoding="utf-8")
    monkeypatch.setattr(watch._stop, "wait", wait)
    assert watch.look_once()
    assert not left
    assert desk.version == 2
    assert desk.now.sources[str(file)].text.endswith("# 0\n")


def test_a_file_that_vanishes_leaves_the_last_good_pages(served: Served) -> None:
    kept = served.file.read_bytes()
    served.file.unlink()
    wait_for(lambda: served.desk.stale)
    page = served.ask()
    assert page.status == 200
    assert "of the last version that could be read whole" in page.text
    assert "The description cannot be read" in page.text
    assert 'data-path="going.third"' in page.text
    assert served.ask("manual/glance").status == 200
    assert served.ask("try?fact=going.barrel.weight&value=400").status == 200
    served.file.write_bytes(kept)
    wait_for(lambda: not served.desk.stale)
    assert "of the last version" not in served.ask().text


def test_a_broken_file_is_told_on_top_and_the_last_good_pages_stay(served: Served) -> None:
    served.change("arbor third\n", 'arbor third\n    pinnion 10 teth "\n')
    wait_for(lambda: served.desk.stale)
    for place in ("", "figures", "drawings", "manual", "manual/works", "try", "figures/sheets-going"):
        page = served.ask(place).text
        assert "of the last version that could be read whole" in page
        assert "<mark>" in page
    assert "Third arbor" in served.ask().text
    assert "pinnion" in served.ask("amiss").text


def test_what_only_does_not_agree_shows_the_new_pages(served: Served) -> None:
    served.change("      72     ", "      75     ")
    wait_for(lambda: served.desk.version == 2)
    assert not served.desk.stale
    page = served.ask().text
    assert "wheel: 75 teeth" in page
    assert "M501" in page


def test_an_included_file_that_was_not_there_is_seen_when_it_comes(tmp_path: Path) -> None:
    with serving(tmp_path) as served:
        chime = served.file.parent / "trains" / "chime.movement"
        kept = chime.read_bytes()
        chime.unlink()
        wait_for(lambda: served.desk.stale)
        chime.write_bytes(kept)
        wait_for(lambda: not served.desk.stale)


def test_a_description_that_was_never_good_is_served_with_its_faults(tmp_path: Path) -> None:
    folder = tmp_path / "bad-clock"
    folder.mkdir()
    (folder / "bad-clock.movement").write_text(
        'countwheel 1\nclock "Bad <b>clock</b>"\n  place\n    latitude 95 °N\n  owner "<script>alert(1)</script>\n',
        "utf-8",
    )
    (tmp_path / "served").mkdir()
    with serving(tmp_path / "served", folder) as served:
        for place in ("", "amiss", "figures", "drawings", "manual", "try"):
            page = served.ask(place)
            assert page.status == 200, place
            assert "M310" in page.text
            assert "<script>alert" not in page.text
            assert "<b>clock" not in page.text
        served.file.write_text('countwheel 1\nclock "Good"\n', encoding="utf-8")
        wait_for(lambda: served.desk.version == 2)
        assert "Good" in served.ask().text


def test_what_contradicts_itself_and_cannot_be_drawn_is_told(tmp_path: Path) -> None:
    """Two arbors of one name, in a description that was never good: there is no last good page to show."""
    folder = tmp_path / "two"
    folder.mkdir()
    (folder / "two.movement").write_text(
        'countwheel 1\nclock "Two"\ntrain chime\n  arbor barrel\n  arbor barrel\n', encoding="utf-8"
    )
    (tmp_path / "served").mkdir()
    with serving(tmp_path / "served", folder) as served:
        for place in ("", "amiss", "figures", "drawings", "manual", "try"):
            page = served.ask(place)
            assert page.status == 200
            assert "M401" in page.text
        served.change("  arbor barrel\n  arbor barrel\n", "  arbor barrel\n")
        wait_for(lambda: served.desk.version == 2)
        assert "cannot be made" not in served.ask("drawings").text


def test_no_more_pages_are_told_than_the_server_can_bear(served: Served) -> None:
    from countwheel.preview.server import MOST_LISTENERS

    lines = []
    for _ in range(MOST_LISTENERS):
        line = http.client.HTTPConnection("127.0.0.1", served.server.port, timeout=PATIENCE)
        line.request("GET", f"/{served.server.key}/events")
        assert line.getresponse().readline() == b"event: version\n"
        lines.append(line)
    assert served.ask("events").status == 503
    assert served.ask("amiss").status == 200
