"""What changed between two versions, for a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from countwheel.compare.facts import Change
from countwheel.compare.versions import Comparison, Shift

_SIGNS = {"added": "+", "removed": "-", "changed": "~", "renamed": ">", "moved": ">"}


def report(found: Comparison, width: int = 100) -> str:
    """The whole report; one line where nothing changed."""
    if found.same:
        return "nothing changed\n"
    lines: list[str] = []
    if found.facts:
        lines += [
            f"facts ({len(found.facts)})",
            *(line for change in found.facts for line in _fact(change, width)),
        ]
    else:
        lines.append("the facts are the same")
    if found.figures:
        beyond = [shift for shift in found.figures if shift.beyond]
        within = [shift for shift in found.figures if not shift.beyond]
        lines += _figures("figures that changed", beyond, width)
        lines += _figures("figures that changed, but by no more than they are uncertain", within, width)
    lines += _expected("expected, and no longer so", found.missed)
    lines += _expected("expected, and so again", found.kept)
    return "\n".join(lines) + "\n"


def _fact(change: Change, width: int) -> Iterator[str]:
    sign = _SIGNS.get(change.kind, "=")
    if change.kind in ("renamed", "moved"):
        yield f"  {sign} {change.kind}: {change.before} is now {change.after}"
        return
    told = {
        "added": change.after,
        "removed": change.before,
        "changed": f"{change.before} -> {change.after}",
    }.get(change.kind, f"{change.kind}: {change.before} -> {change.after}")
    yield from wrap(f"{change.path}  {told}".rstrip(), width, initial_indent=f"  {sign} ", subsequent_indent="      ",
                    break_on_hyphens=False)  # fmt: skip


def _figures(title: str, shifts: list[Shift], width: int) -> list[str]:
    if not shifts:
        return []
    lines = ["", f"{title} ({len(shifts)})"]
    for shift in shifts:
        before, after = shift.before or "none", shift.after or "none"
        lines += wrap(f"{shift.id}  {before} -> {after} {shift.unit}".rstrip(), width, initial_indent="  ",
                      subsequent_indent="      ", break_on_hyphens=False)  # fmt: skip
    return lines


def _expected(title: str, several: tuple[str, ...]) -> list[str]:
    return ["", title, *(f"  expect {written}" for written in several)] if several else []
