"""Figures for a terminal: a line a figure, or each with its working."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import wrap

from countwheel.figures.record import Figure

_INDENT = "    "
_NAMED = 4  # of several inputs that are known equally ill, so many are named


def value_text(figure: Figure) -> str:
    """The value as printed, with its unit and uncertainty; what it waits for where it has none."""
    if figure.value is None:
        return "waits for " + ", ".join(figure.waits_for) if figure.waits_for else "cannot be worked out"
    text = figure.shown or str(figure.value)
    if figure.unit:
        text += f" {_unit(figure)}"
    if figure.uncertainty:
        from countwheel.figures.rounding import uncertainty_text

        text += f"  ± {uncertainty_text(figure.uncertainty)}"
    return text


def in_numbers(figure: Figure) -> str:
    """The formula with its numbers, and the result as printed."""
    return f"{figure.substitution} = {figure.shown} {_unit(figure)}".rstrip()


def _unit(figure: Figure) -> str:
    """The unit, of one where the figure is just one: '1 turn/h'."""
    for many, one in (("turns", "turn"), ("days", "day")):
        if figure.shown == "1" and (figure.unit == many or figure.unit.startswith(f"{many}/")):
            return one + figure.unit[len(many) :]
    return figure.unit


def most_doubt(figure: Figure) -> str:
    """The inputs that make most of the uncertainty, with the share of each; '' where there is one or none."""
    if len(figure.budget) < 2:
        return ""
    return ", ".join(
        f"{path} {share:.0%}" for path, share in list(figure.budget.items())[:4] if share >= 0.005
    )


_HEADING = ("figure", "weakest fact", "value")


def weakest_fact(figure: Figure) -> str:
    """The standing, and which inputs it comes from: 'told: going.barrel.weight'; '' where nothing bears on it."""
    least = figure.weakest
    if figure.value is None or not least:
        return ""
    more = f" and {len(least) - _NAMED} more" if len(least) > _NAMED else ""
    return f"{figure.standing}: {', '.join(least[:_NAMED])}{more}"


def plain(figures: Iterable[Figure]) -> str:
    """A line a figure: id, how the weakest fact behind it is known, value, uncertainty."""
    rows = [
        (figure.id, "" if figure.value is None else figure.standing, value_text(figure)) for figure in figures
    ]
    if not rows:
        return ""
    room = min(52, max(len(id) for id, _, _ in (_HEADING, *rows)))
    return "".join(f"{id:<{room}}  {standing:<12}  {value}\n" for id, standing, value in (_HEADING, *rows))


def working(figures: Iterable[Figure], width: int = 100) -> str:
    """Each figure with formula, numbers, inputs, uncertainty, source and cautions."""
    return "\n".join("".join(f"{line}\n" for line in _sheet(figure, width)) for figure in figures)


def _sheet(figure: Figure, width: int) -> list[str]:
    lines = [f"{figure.id}", f"  {figure.title}"]

    def say(name: str, text: str) -> None:
        first = f"{_INDENT}{name:<12}"
        lines.extend(
            wrap(
                text, width, initial_indent=first, subsequent_indent=" " * len(first), break_long_words=False
            )
        )

    say("is", value_text(figure))
    if figure.formula:
        say("formula", figure.formula)
    if figure.substitution and figure.value is not None:
        say("in numbers", in_numbers(figure))
    for symbol, what in figure.symbols:
        say("", f"{symbol}  {what}")
    for one in figure.inputs:
        tolerance = f" {one.tolerance}" if one.tolerance and one.tolerance not in one.written else ""
        say("from", f"{one.path}: {one.written}{tolerance}, {one.evidence}")
    if weakest := weakest_fact(figure):
        say("weakest", weakest)
    if doubt := most_doubt(figure):
        say("most doubt", doubt)
    if figure.how_propagated and figure.uncertainty:
        say("uncertainty", f"standard, k = 1; {figure.how_propagated}")
    if figure.method:
        say("how", figure.method)
    say("source", figure.source)
    for caution in figure.cautions:
        say("caution", caution)
    return lines
