"""The calendar in programs that people keep their days with, skipped where they are not installed.

calcurse reads the file with code of its own; khal stores an entry for each UID and shows it in the machine's zone.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from shutil import which

import pytest
from countwheel import api
from keeping_reading import calendar_of, every, read

SPECS = Path(__file__).parents[2] / "specs"
DEMOS = sorted(path.parent.name for path in SPECS.glob("*/*.movement") if path.stem == path.parent.name)
FIRST, LAST = date(2026, 4, 12), date(2027, 4, 11)
KHAL = which("khal", path=f"{Path(sys.executable).parent}{os.pathsep}{os.environ.get('PATH', '')}")
CALCURSE = which("calcurse")
Days = Counter[tuple[date, str, str]]  # day, time of day, title


@cache
def demo(name: str) -> api.Result:
    return api.compile_file(SPECS / name, working=False)


def zone_of(name: str) -> str:
    clock = demo(name).clock
    assert clock is not None
    assert clock.place is not None
    return clock.place.text("time zone") or ""


def expected(content: bytes) -> Days:
    """What vobject and dateutil read, so that three readers are held against each other."""
    return Counter(
        (day, "" if type(one.start) is date else f"{one.start:%H:%M}", one.title)
        for one in read(content)
        for day in one.days
    )


def run(*command: str | Path, home: Path, zone: str) -> str:
    surroundings = {**os.environ, "HOME": str(home), "TZ": zone, "LC_ALL": "C.UTF-8"}
    surroundings |= {f"XDG_{name}_HOME": str(home) for name in ("DATA", "CONFIG", "CACHE")}
    done = subprocess.run(
        [str(part) for part in command], env=surroundings, capture_output=True, text=True, timeout=120, check=False
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout


class Khal:
    """A new profile with one calendar."""

    def __init__(self, home: Path, zone: str) -> None:
        self.home, self.zone = home, zone
        (home / "calendar").mkdir()
        (home / "khal.conf").write_text(
            f"[calendars]\n[[clock]]\npath = {home / 'calendar'}\n[sqlite]\npath = {home / 'khal.db'}\n"
            "[locale]\ntimeformat = %H:%M\ndateformat = %Y-%m-%d\nlongdateformat = %Y-%m-%d\n"
            "datetimeformat = %Y-%m-%d %H:%M\nlongdatetimeformat = %Y-%m-%d %H:%M\n"
            f"local_timezone = {zone}\ndefault_timezone = {zone}\n",
            encoding="utf-8",
        )

    def khal(self, *arguments: str | Path) -> str:
        return run(KHAL or "", "-c", self.home / "khal.conf", *arguments, home=self.home, zone=self.zone)

    def read(self, content: bytes) -> None:
        file = self.home / "read.ics"
        file.write_bytes(content)
        self.khal("import", "--batch", "-a", "clock", file)

    def agenda(self) -> Days:
        listed = self.khal(
            "list", "--day-format", "", "--format", "{start-date}|{start-time}|{title}",
            FIRST.isoformat(), f"{(LAST - FIRST).days + 1}d",
        )  # fmt: skip
        parts = (line.split("|", 2) for line in listed.splitlines() if line)
        return Counter((date.fromisoformat(day), time, title) for day, time, title in parts)


@pytest.mark.skipif(KHAL is None, reason="khal is not installed")
@pytest.mark.parametrize("name", ["penquay-harbour-office", "ellenfrith-school", "skarnhove-chapel"])
def test_khal_shows_a_year_and_a_later_file_changes_it(name: str, tmp_path: Path) -> None:
    content = calendar_of(demo(name), FIRST, LAST)
    client = Khal(tmp_path, zone_of(name))
    client.read(content)
    assert client.agenda() == expected(content)
    later = calendar_of(demo(name), FIRST + timedelta(days=60), LAST, date(2026, 6, 11))
    client.read(later)
    wanted = expected(later)
    agenda = client.agenda()
    assert max(agenda.values(), default=1) == 1  # nothing twice
    assert {one for one in agenda if one[0] >= FIRST + timedelta(days=60)} == set(wanted)
    again = client.agenda()
    client.read(later)
    assert client.agenda() == again


@pytest.mark.skipif(KHAL is None, reason="khal is not installed")
def test_khal_has_the_hour_of_the_place_in_summer_and_in_winter(tmp_path: Path) -> None:
    """Nine o'clock in London is eight by UTC while summer time lasts there: to 25 October 2026, from 28 March 2027."""
    client = Khal(tmp_path, "UTC")
    client.read(calendar_of(demo("penquay-harbour-office"), FIRST, LAST))
    found = {day: time for day, time, title in client.agenda() if title.startswith("Wind ")}
    assert found == {
        day: "09:00" if date(2026, 10, 25) <= day < date(2027, 3, 28) else "08:00"
        for day in every(date(2026, 4, 17), 7, LAST)
    }


@pytest.mark.skipif(CALCURSE is None, reason="calcurse is not installed")
@pytest.mark.parametrize("name", DEMOS)
def test_calcurse_shows_a_year(name: str, tmp_path: Path) -> None:
    content = calendar_of(demo(name), FIRST, LAST)
    file = tmp_path / "calendar.ics"
    file.write_bytes(content)
    own = ("-D", tmp_path / "own", "-C", tmp_path / "own")
    run(CALCURSE or "", *own, "-q", "-i", file, home=tmp_path, zone=zone_of(name))
    listed = run(
        CALCURSE or "", *own, f"-s{FIRST:%m/%d/%Y}", f"-r{(LAST - FIRST).days + 1}", home=tmp_path,
        zone=zone_of(name),
    )  # fmt: skip
    found: Days = Counter()
    day, time = FIRST, ""
    for line in listed.splitlines():
        if line.endswith(":") and line[:1].isdigit():
            month, of_month, year = (int(part) for part in line[:-1].split("/"))
            day = date(2000 + year, month, of_month)
        elif line.startswith(" * "):
            found[day, "", line[3:]] += 1
        elif line.startswith(" - "):
            time = line[3:8]
        elif line.startswith("\t"):
            found[day, time, line[1:]] += 1
    assert found == expected(content)
