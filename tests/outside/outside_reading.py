"""Published clocks through the compiler: descriptions from files or from short notation, figures by their ids.

Trains are written here as the old books write them, `96/8 64/8 60/8`: a wheel
of 96 drives a pinion of 8, on whose arbor a wheel of 64 drives a pinion of 8,
and so on. Nothing here works anything out.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path

from countwheel.api import Result, check_text, compile_file

CLOCKS = Path(__file__).parent / "clocks"
INCH = 0.0254
FOOT = 0.3048
POUND = 0.45359237
# Gravity of the seconds pendulum that British handbooks reckon with, 39.14 in (B p. 36: E. Beckett, A
# Rudimentary Treatise on Clocks, Watches and Bells, 8th ed. 1903), and of the legal 39.1393 in (B p. 39).
LONDON = "9.8119264330 m/s²"
LEGAL = "9.8117509514 m/s²"
_ORDER = ("second", "third", "fourth", "fifth", "sixth")


def compiled(*blocks: str) -> Result:
    """A description of these blocks, compiled. A slip in the description itself fails the test at once."""
    result = check_text("countwheel 1\n\n" + "\n".join(block.strip("\n") + "\n" for block in blocks))
    _well_written(result)
    return result


@cache
def clock(name: str) -> Result:
    """One of the whole clocks beside this file."""
    result = compile_file(CLOCKS / f"{name}.movement")
    _well_written(result)
    return result


def _well_written(result: Result) -> None:
    slips = [
        f"{one.code} {one.message}"
        for one in result.diagnostics
        if one.severity == "error" and not one.code.startswith(("M5", "M6"))
    ]
    assert not slips, slips


def faults(result: Result) -> set[str]:
    """Codes of the errors and doubts that speak of the clock itself or of what it should do."""
    told = {one.code for one in result.diagnostics if one.code.startswith("M5") and one.severity != "advice"}
    return told | {
        one.code for one in result.diagnostics if one.code.startswith("M6") and one.severity == "error"
    }


def exact(result: Result, id: str) -> Fraction:
    """A figure that must be known as a fraction: turns, ratios, beats, blows."""
    figure = result.figures.get(id)
    assert figure is not None, f"no figure {id}"
    assert figure.exact is not None, f"{id} is {figure.value} and waits for {figure.waits_for}"
    return figure.exact


def value(result: Result, id: str) -> float:
    """A figure's value in the figure's own unit."""
    figure = result.figures.get(id)
    assert figure is not None, f"no figure {id}"
    assert isinstance(figure.value, float), f"{id} is {figure.value!r} and waits for {figure.waits_for}"
    return figure.value


def train(
    name: str,
    pairs: str,
    last: str = "",
    *,
    anchor: str = "barrel once an hour",
    end: str = "escape",
    barrel: str = "",
    more: str = "",
) -> str:
    """A train in the language: `pairs` from the power on, `last` what the last arbor carries besides.

    A form is joined to its count (`72/lantern_6`). `anchor` names an arbor and
    how often it turns (empty: none is stated); `barrel` holds facts of the
    barrel and `more` further lines of the train, both with ` · ` between lines.
    """
    meshes = [pair.replace("_", " ").split("/") for pair in pairs.split()]
    names = ["barrel", *_ORDER[: len(meshes) - 1], end]
    lines = [f"train {name}"]
    for index, arbor in enumerate(names):
        lines.append(f"  arbor {arbor}")
        if index:
            lines.append(f"    pinion {meshes[index - 1][1]}")
        elif barrel:
            lines += ["    barrel", *(f"      {line}" for line in barrel.split(" · "))]
        if index < len(meshes):
            lines.append(f"    wheel {'great ' if not index else ''}{meshes[index][0]}")
        elif last:
            lines += [f"    {line}" for line in last.split(" · ")]
        if anchor.startswith(f"{arbor} "):
            lines.append(f"    rate {anchor.removeprefix(f'{arbor} ')}")
    lines += [f"  {line}" for line in more.split(" · ")] if more else []
    return "\n".join(lines)


def pendulum(*facts: str, gravity: str = LONDON) -> str:
    """A pendulum with these facts where gravity is that of London (or is stated)."""
    return "\n".join(
        [
            'clock "As published"',
            "  place",
            f"    gravity {gravity}",
            "",
            "pendulum",
            *(f"  {f}" for f in facts),
        ]
    )


def at_latitude(degrees: float, height: str = "0 m") -> str:
    """A place by its latitude, south of the equator where it is negative."""
    side = "°N" if degrees >= 0 else "°S"
    return f'clock "As published"\n  place\n    latitude {abs(degrees)} {side}\n    above sea {height}\n'


def length_in_inches(beat: str, gravity: str = LONDON) -> float:
    """The theoretical length that a stated beat asks for, in inches."""
    return value(compiled(pendulum(f"beat {beat}", gravity=gravity)), "pendulum.theoretical_length") / INCH


def rows(table: str) -> list[tuple[float, float, bool]]:
    """A printed table of `length number` pairs; a star after the number marks a slip of the press."""
    pairs = [one.split() for one in table.split(";")]
    return [(float(length), float(beats.rstrip("*")), "*" in beats) for length, beats in pairs]
