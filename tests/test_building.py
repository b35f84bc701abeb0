"""A register of descriptions is built as each would be; what has not changed is left, and a stop costs nothing."""

from __future__ import annotations

import contextlib
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from multiprocessing import active_children
from pathlib import Path
from typing import cast

import pytest
from cli_running import GOOD, Call, call, here, run, tree
from countwheel import building, files, unchanged
from countwheel.building import Made, Order

__all__ = ["call", "here"]  # fixtures
TEXT = GOOD.read_text(encoding="utf-8")
SECOND = TEXT.replace('clock "', 'clock "The other ', 1)


@pytest.fixture
def several(here: Path) -> Path:
    """A folder with three clocks and one that cannot be built."""
    for name, text in {
        "second": SECOND,
        "third": TEXT,
        "wrong": "countwheel 1\n\nclock\n  nonsense 3\n",
    }.items():
        (here / f"{name}.movement").write_text(text)
    return here


def test_several_at_a_time_are_what_each_is_alone(several: Path) -> None:
    names = ("second.movement", "wrong.movement", "third.movement")
    together = run("build", *names, "--jobs", "2", "--to", "together", folder=several)
    assert together.returncode == 1
    told = together.stdout.decode().splitlines()
    assert [line.partition(":")[0] for line in told[:2]] == ["together/second", "together/third"]
    assert told[2] == "2 built, 0 left as they were, 1 not built"
    assert b"wrong.movement: not built" in together.stderr
    for name in names:
        run("build", name, "--to", "alone", folder=several)
    assert tree(several / "together") == tree(several / "alone")


def test_what_has_not_changed_is_left(several: Path) -> None:
    names = ("second.movement", "third.movement")
    assert run("build", *names, folder=several).returncode == 0
    before = {path: path.stat().st_mtime_ns for path in (several / "out").rglob("*.pdf")}
    (several / "third.movement").write_text(TEXT + "\n# another remark\n")
    done = run("build", *names, folder=several)
    assert done.stdout.decode().splitlines()[0] == "out/second: nothing has changed"
    assert done.stdout.decode().splitlines()[2] == "1 built, 1 left as they were, 0 not built"
    after = {path: path.stat().st_mtime_ns for path in (several / "out").rglob("*.pdf")}
    assert {path.parts[-2] for path in after if after[path] != before[path]} == {"third"}
    again = run("build", *names, "--again", folder=several)
    assert again.stdout.decode().splitlines()[2] == "2 built, 0 left as they were, 0 not built"


def order(here: Path, **other: object) -> Order:
    return Order(str(here / "good"), here / "out" / "good", "a4", "print", False, False, None)._replace(
        **other
    )


def test_each_thing_that_an_output_rests_on_counts(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made = building.one(order(here))
    assert made.code == 0
    assert made.files
    assert unchanged.as_built(order(here))
    for other in ({"paper": "us-letter"}, {"contacts": "blank"}, {"issued": 86400}, {"binder": True}):
        assert not unchanged.as_built(order(here, **other)), other
    with monkeypatch.context() as patched:
        patched.setattr(unchanged, "program", lambda: "another")
        assert not unchanged.as_built(order(here))
    for path in sorted((here / "out" / "good").rglob("*")):
        if path.is_file():
            kept = path.read_bytes()
            path.write_bytes(kept + b" ")
            assert not unchanged.as_built(order(here)) or path.name == "manifest.json", path
            path.write_bytes(kept)
            assert unchanged.as_built(order(here))
    (here / "out" / "good" / "manifest.json").write_text("[]")
    assert not unchanged.as_built(order(here))


def test_a_photograph_and_an_included_file_count(here: Path) -> None:
    folder = here / "with parts"
    folder.mkdir()
    (folder / "with parts.movement").write_text(TEXT + '\ninclude "more.movement"\nphoto "seen.png"\n')
    (folder / "more.movement").write_text("countwheel 1\n")
    (folder / "seen.png").write_bytes(b"one picture")
    asked = order(here, file=str(folder), target=here / "out" / "with parts")
    assert building.one(asked).files
    assert unchanged.as_built(asked)
    (folder / "more.movement").write_text("countwheel 1\n# more\n")
    assert not unchanged.as_built(asked)
    assert building.one(asked).files
    (folder / "seen.png").write_bytes(b"another picture")
    assert not unchanged.as_built(asked)


def test_a_binder_is_made_anew_where_git_tells_another_thing(here: Path) -> None:
    if shutil.which("git") is None:
        pytest.skip("git is not here")
    asked = order(here, binder=True)
    assert building.one(asked).files
    assert unchanged.as_built(asked)
    git = ("git", "-c", "user.name=A Keeper", "-c", "user.email=", "-C", str(here))
    subprocess.run([*git, "init", "-q"], check=True)
    subprocess.run([*git, "add", "good"], check=True)
    subprocess.run([*git, "commit", "-q", "-m", "Write down the clock"], check=True)
    assert not unchanged.as_built(asked)


@contextlib.contextmanager
def ending(most: int, after: float = 0) -> Iterator[list[int]]:
    """Ends builders from outside, so many seconds after they are seen, until there were so many."""
    ended: list[int] = []
    over = threading.Event()

    def end_them() -> None:
        while len(ended) < most and not over.is_set():
            for child in active_children():
                if child.pid not in (None, *ended):
                    time.sleep(after)
                    child.kill()
                    ended.append(cast(int, child.pid))
                    break
            time.sleep(0.001)

    thread = threading.Thread(target=end_them)
    thread.start()
    try:
        yield ended
    finally:
        over.set()
        thread.join()


def orders_of(several: Path) -> list[Order]:
    return [
        order(several, file=f"{name}.movement", target=several / "out" / Path(name).name)
        for name in ("second", "third", "good/good")
    ]


@pytest.mark.parametrize("after", [0, 0.01, 0.1, 0.6])
def test_one_that_is_ended_from_outside_is_built_all_the_same(
    several: Path, monkeypatch: pytest.MonkeyPatch, after: float
) -> None:
    monkeypatch.chdir(several)
    orders = orders_of(several)
    with ending(1, after) as ended:
        made = list(building._made(orders, 2))
    assert len(ended) == 1
    assert [one.target.name for one in made] == ["second", "third", "good"]
    assert all(one.files for one in made)
    for asked in orders:
        assert unchanged.as_built(asked)


def test_what_is_ended_each_time_is_told(several: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(several)
    with ending(1000):
        made = list(building._made(orders_of(several), 2))
    assert [(one.target.name, one.code, one.files) for one in made] == [
        ("second", 2, 0),
        ("third", 2, 0),
        ("good", 2, 0),
    ]
    assert all("was ended from outside, twice" in one.trouble for one in made)
    assert not (several / "out").exists()


def test_a_fault_of_the_program_is_told_with_its_place(here: Path) -> None:
    broken = order(here, issued="not a time")
    with pytest.raises(TypeError) as raised:
        list(building._made([broken, broken._replace(target=here / "out" / "other")], 2))
    assert "in everything" in raised.value.__notes__[0]


def test_several_are_built_by_a_program_that_has_set_pages(several: Path, call: Call) -> None:
    assert call("build", "second.movement", folder=several).returncode == 0
    done = call("build", "second.movement", "third.movement", "--jobs", "2", folder=several)
    assert done.returncode == 0
    assert done.stdout.decode().splitlines()[-1] == "1 built, 1 left as they were, 0 not built"


def test_more_are_built_than_the_first_processes_take(here: Path) -> None:
    names = [f"clock-{at}.movement" for at in range(6)]
    for at, name in enumerate(names):
        (here / name).write_text(f'countwheel 1\n\nclock "Number {at}"\n  place "Penquay"\n')
    code = "import sys; from countwheel import building, cli; building._EACH = 2; sys.exit(cli.main(sys.argv[1:]))"
    done = subprocess.run(
        [sys.executable, "-c", code, "build", *names, "--jobs", "2"],
        cwd=here,
        capture_output=True,
        text=True,
        timeout=240,
    )
    assert done.stdout.splitlines()[-1] == "6 built, 0 left as they were, 0 not built"


def test_a_run_that_was_stopped_goes_on(several: Path, monkeypatch: pytest.MonkeyPatch, call: Call) -> None:
    def stopped(asked: Order) -> Made:
        if asked.target.name == "third":
            raise KeyboardInterrupt
        return building.one(asked)

    names = ("second.movement", "third.movement")
    with monkeypatch.context() as patched:
        patched.chdir(several)
        patched.setattr(building, "_made", lambda orders, jobs: map(stopped, orders))
        assert call("build", *names).returncode == 130
    assert (
        run("build", *names, folder=several).stdout.decode().splitlines()[0]
        == "out/second: nothing has changed"
    )


def test_how_far_it_is() -> None:
    assert building._far(50, 200, 600) == "50 of 200; about 30 min to go\n"
    assert building._far(199, 200, 600) == "199 of 200; less than a minute to go\n"


def test_the_program_is_known_by_all_of_its_files() -> None:
    first = unchanged.program()
    unchanged.program.cache_clear()
    assert unchanged.program() == first
    assert len(first) == 64
    names = dict(unchanged._contents(unchanged.resources.files("countwheel")))
    assert {"cli.py", "emit/templates/print/manual.typ", "emit/pdf.py"} <= set(names)
    assert not any("__pycache__" in name for name in names)
    assert files.stem_of(Path("a/b.movement")) == "b"
