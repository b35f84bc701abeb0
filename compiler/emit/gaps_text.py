"""Gaps for a terminal: what to find out next, by where the keeper stands, and what each fact holds up."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from textwrap import wrap

from countwheel.emit.gap_rows import Row, row, stands
from countwheel.emit.naming import Names
from countwheel.search.gap import Gap, Gaps

TITLES = 3


def report(gaps: Gaps, names: Names, titles: Mapping[str, str], width: int = 100) -> str:
    """The whole report. `titles` are those of the manual's chapters, by id."""
    lines = [f"{gaps.known} figures are known, {gaps.waiting} wait for facts."]
    if not gaps.gaps:
        return lines[0] + "\nNothing is unknown or weak.\n"
    if gaps.worklist:
        lines += [
            "",
            "What to find out next, by where you stand; what settles most for its time comes first:",
        ]
    for stand in stands(gaps, names):
        lines += ["", stand.where]
        for one in stand.rows:
            lines += _row(one, titles, width)
    lines += _rest(
        "lost, so that nobody can measure them", [gap for gap in gaps.gaps if gap.lost], names, width
    )
    later = [gap for gap in gaps.gaps if gap.waits and not gap.lost]
    lines += _rest("to be found out when it goes again", later, names, width)
    idle = [gap for gap in gaps.gaps if not (gap.lost or gap.waits) and gap not in gaps.worklist]
    lines += _rest("unknown or weak, but no figure waits for them", idle, names, width)
    return "\n".join(lines) + "\n"


def _row(one: Row, titles: Mapping[str, str], width: int) -> Iterator[str]:
    gap = one.gap
    yield from _wrapped(f"{one.part}   [{gap.path}]", width, f"{one.number:>4}  ", "      ")
    enough = f", {gap.enough} is enough" if gap.enough else ""
    yield from _wrapped(f"{one.known}; {gap.means.needed}, {one.minutes}{enough}", width, "      ", "      ")
    yield from _wrapped(settles(one), width, "      ", "      ")
    if one.chapters:
        chapters = ", ".join(titles.get(chapter, chapter) for chapter in one.chapters)
        yield from _wrapped(f"in the manual: {chapters}", width, "      ", "      ")


def settles(one: Row, most: int = TITLES) -> str:
    """What it would settle, in a sentence, with no more titles than `most`."""
    gap = one.gap
    said = []
    if one.titles:
        more = f" and {len(one.titles) - most} more" if len(one.titles) > most else ""
        verb = "makes surer" if gap.kind == "weak" else "gives, with what else is lacking"
        said.append(f"{verb}: {'; '.join(one.titles[:most])}{more}")
    if gap.rests:
        stand = "1 figure stands" if gap.rests == 1 else f"{gap.rests} figures stand"
        said.append(f"{stand} on it as long as it is only {gap.how.split()[0]}")
    if gap.candidates:
        said.append("tells the candidates for lost counts apart")
    return "; ".join(said)


def _rest(title: str, gaps: list[Gap], names: Names, width: int) -> list[str]:
    if not gaps:
        return []
    lines = ["", title]
    for gap in gaps:
        held = f"; {len(gap.holds)} figures wait for it" if len(gap.holds) > 1 else ""
        lines += _wrapped(f"{row(gap, names).part}   [{gap.path}]{held}", width, "      ", "        ")
    return lines


def _wrapped(text: str, width: int, first: str, rest: str) -> list[str]:
    return wrap(text, width, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)
