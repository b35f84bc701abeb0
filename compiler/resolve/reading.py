"""What all readers of values share: where a value stands, what to say where it is missing, unknowns.

A reader yields every way it can be read, preferred first: the item after it,
the value, and what is amiss with a value that was understood but cannot be
(no teeth, a range that runs backwards). Such a value becomes an unknown, so
that one fault costs one message and nothing that follows from it.
"""

from __future__ import annotations

from countwheel import units
from countwheel.diagnostics.record import Diagnostic, Edit
from countwheel.diagnostics.registry import say
from countwheel.model.values import AnyValue, Unknown
from countwheel.resolve.matching import Attempt
from countwheel.resolve.numbers import as_fraction
from countwheel.source import Span
from countwheel.syntax.tree import Item

Way = tuple[int, AnyValue, tuple[Diagnostic, ...]]


def span_of(attempt: Attempt, first: Item, last: Item) -> Span:
    return attempt.source.span(first.start, last.end)


def written_of(attempt: Attempt, first: Item, last: Item) -> str:
    return attempt.source.text[first.start : last.end]


def missing(attempt: Attempt, at: int, what: str) -> None:
    start, end = attempt.span_of(at)
    attempt.fault(
        at,
        1,
        lambda: say(
            "M204",
            attempt.source.span(start, end),
            f"`{attempt.word}` needs {what}, and there is none.",
            label="missing here",
        ),
    )


def unfit(attempt: Attempt, at: int, what: str) -> None:
    start, end = attempt.span_of(at)
    attempt.fault(
        at,
        1,
        lambda: say(
            "M205",
            attempt.source.span(start, end),
            f"`{attempt.word}` needs {what} here.",
            label=f"not {what}",
        ),
    )


def want(attempt: Attempt, at: int, what: str) -> None:
    (missing if at >= len(attempt.items) else unfit)(attempt, at, what)


def unknown(attempt: Attempt, at: int, dimension: str | None) -> Way:
    """A `?` with what is known of it; numbers become SI where a dimension is asked for."""
    item = attempt.items[at]
    span = span_of(attempt, item, item)
    report: list[Diagnostic] = []
    numbers = [(text, start, end) for kind, text, start, end in item.parts if kind == "number"]
    forms = [text for kind, text, _, _ in item.parts if kind == "unit"]
    kinds = [kind for kind, _, _, _ in item.parts]
    parity = next((text for kind, text, _, _ in item.parts if kind == "parity"), None)
    figures = [float(as_fraction(text)) for text, _, _ in numbers]
    if numbers and dimension is not None:
        sizes = _sizes(item, dimension)
        if sizes is None:
            report.append(
                say(
                    "M302" if any(_unit(form, dimension) is None for form in forms) else "M301",
                    span,
                    f"What is known of `{attempt.word}` needs a unit of {dimension}.",
                    label="no fitting unit",
                    hints=(f"write for example {usual(dimension)} behind the number",),
                )
            )
            figures = []
        else:
            figures = [_in_si(figure, unit) for figure, unit in zip(figures, sizes, strict=True)]
    elif numbers and forms:
        report.append(
            say(
                "M302",
                span,
                f"`{attempt.word}` is a plain number and takes no unit.",
                label="a unit",
                hints=("leave the unit out",),
            )
        )
    low = high = about = None
    choices: tuple[float, ...] = ()
    if "range" in kinds and len(figures) == 2:
        first, second = numbers[0], numbers[1]
        low, high = sorted(figures)  # degrees west and threads to the inch count downwards
        if as_fraction(first[0]) > as_fraction(second[0]):
            report.append(backwards(attempt.source.span(first[1], second[2]), first[0], second[0]))
    elif "or" in kinds:
        choices = tuple(figures)
    elif "about" in kinds and figures:
        about = figures[0] if len(figures) == 1 else sum(figures)
    value = Unknown(
        written=item.text,
        span=span,
        dimension=dimension,
        low=low,
        high=high,
        choices=choices,
        parity=parity,  # type: ignore[arg-type]
        about=about,
    )
    return at + 1, value, tuple(report)


def _sizes(item: Item, dimension: str) -> list[units.Unit] | None:
    """The unit of each number of an unknown: its own, else the next one's; None where one does not fit."""
    found: list[units.Unit] = []
    unit: units.Unit | None = None
    for kind, text, _, _ in reversed(item.parts):
        if kind == "unit":
            unit = _unit(text, dimension)
            if unit is None:
                return None
        elif kind == "number":
            if unit is None:
                return None
            found.insert(0, unit)
    return found


def _unit(form: str, dimension: str) -> units.Unit | None:
    return units.lookup(form, dimension) or (units.lookup(form, "length") if dimension == "thread" else None)


def _in_si(figure: float, unit: units.Unit) -> float:
    if unit.dimension == "thread":  # so many to the inch: the more, the finer
        return unit.size / figure if figure else 0.0
    return figure * unit.size + unit.offset


def backwards(span: Span, low: str, high: str) -> Diagnostic:
    return say(
        "M306",
        span,
        f"This range runs from {low} down to {high}.",
        label="backwards",
        hints=(f"write {high}..{low}",),
        edits=(Edit(span, f"{high}..{low}", f"write {high}..{low}"),),
    )


def nothing(item: Item, attempt: Attempt, dimension: str | None = None) -> Unknown:
    """What stands in for a value that cannot be: it is stated, but of no use."""
    return Unknown(written=item.text, span=span_of(attempt, item, item), dimension=dimension)


def usual(dimension: str) -> str:
    forms = units.preferred_forms(dimension)
    return ", ".join(forms[:4]) + (" ..." if len(forms) > 4 else "")
