"""Gaps as a keeper reads them: the part by its name, what is needed, what it would settle, which chapters use it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import cache
from importlib.resources import files

from countwheel.emit.naming import Names
from countwheel.search.gap import Gap, Gaps


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the measuring list. `titles` are what it would settle, most first; `chapters` their ids."""

    number: int
    gap: Gap
    part: str
    known: str
    titles: tuple[str, ...]
    chapters: tuple[str, ...]

    @property
    def minutes(self) -> str:
        return f"{self.gap.means.minutes} min"


@dataclass(frozen=True, slots=True)
class Stand:
    """Where the keeper stands, and what is to be found out there."""

    where: str
    rows: tuple[Row, ...]


def stands(gaps: Gaps, names: Names) -> tuple[Stand, ...]:
    """The measuring list by place; numbers go through, the most settling for its time first within each place."""
    made: list[Stand] = []
    number = 0
    for where, several in gaps.by_place():
        rows = []
        for gap in several:
            number += 1
            rows.append(row(gap, names, number))
        made.append(Stand(where, tuple(rows)))
    return tuple(made)


def row(gap: Gap, names: Names, number: int = 0) -> Row:
    titles = [names.in_text(one.title) for one in sorted(gap.holds, key=lambda one: -one.settles)]
    return Row(
        number,
        gap,
        gap.what or part_name(gap, names),
        known_text(gap),
        tuple(dict.fromkeys(titles)),
        chapters_of(one.figure for one in gap.holds),
    )


def part_name(gap: Gap, names: Names) -> str:
    path, _, aside = gap.path.partition(" (")
    return names.part(path, gap.word) + (f" ({aside}" if aside else "")


def known_text(gap: Gap) -> str:
    """'not known', 'not known but for this: 14 to 18', '240 mm ± 4 mm, measured by EH', 'the part is lost'."""
    limits = gap.written.replace("..", " to ")
    if gap.kind == "weak":
        return f"{'the part is lost; ' if gap.lost else ''}{gap.written}, {gap.how}"
    if gap.lost:
        return f"the part is lost; perhaps {limits}" if limits else "the part is lost"
    if gap.kind == "not stated":
        return "nothing is said of it"
    return f"not known but for this: {limits}" if limits else "not known"


@cache
def _chapters() -> tuple[tuple[str, tuple[str, ...]], ...]:
    text = files("countwheel.emit").joinpath("templates/manual/chapters.table").read_text(encoding="utf-8")
    found = []
    for line in text.splitlines():
        if line and not line.startswith("#"):
            pattern, chapters = line.split("|")
            found.append((pattern.strip(), tuple(one.strip() for one in chapters.split(","))))
    return tuple(found)


def chapters_of(ids: Iterable[str]) -> tuple[str, ...]:
    """Chapters of the manual that use any of these figures, in the order of the table."""
    found: dict[str, None] = {}
    several = tuple(ids)
    for pattern, chapters in _chapters():
        if any(fnmatchcase(id, pattern) for id in several):
            found |= dict.fromkeys(chapters)
    return tuple(found)
