"""What another value does to the figures: for a terminal, and as JSON with its schema."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from textwrap import wrap
from typing import Any

from countwheel.compare.versions import Comparison, Shift
from countwheel.emit.figure_text import value_text
from countwheel.emit.json_schema import STRING, YES, an_object, document, list_of
from countwheel.figures.record import Figure

NAME = "countwheel trial 1"
_STAYS = (
    "The half arc in the description was found with the weight as it was, and stays in the figures below; this is how "
    "it would follow."
)


@dataclass(frozen=True, slots=True)
class Trial:
    """What was tried and what came of it. `tried` are path and value; `swing` the figures of arc and rate by weight.

    `when` says in words on which day a season's change falls due, '' where no season was tried.
    """

    tried: tuple[tuple[str, str], ...]
    when: str
    found: Comparison
    because: Mapping[str, tuple[str, ...]]
    swing: tuple[Figure, ...]

    @property
    def figures(self) -> tuple[Shift, ...]:
        """The figures that changed; those of the seasons are trials of their own."""
        return tuple(shift for shift in self.found.figures if not shift.id.startswith("season."))


def report(trial: Trial, only: Iterable[str], width: int = 100) -> str:
    """The whole report; of the figures those whose ids are in `only`."""
    lines = ["tried"]
    before = {change.path.lower(): change.before for change in trial.found.facts}
    for path, value in trial.tried:
        was = before.get(path.lower(), "")
        lines += _wrapped(f"{path}  {was} -> {value}" if was else f"{path}  {value}", width)
    if trial.when:
        lines += _wrapped(trial.when, width)
    if trial.swing:
        lines += ["", "what the weight does to the swing"]
        for figure in trial.swing:
            lines += _wrapped(f"{_title(figure)}: {value_text(figure)}", width)
        lines += _wrapped(_STAYS, width)
        for caution in dict.fromkeys(one for figure in trial.swing for one in figure.cautions):
            lines += _wrapped(f"caution: {caution}", width)
    wanted = set(only)
    shown = [shift for shift in trial.figures if shift.id in wanted]
    if shown:
        lines += ["", f"figures that changed ({len(shown)}), each with what it follows from"]
    for shift in shown:
        said = f"{shift.id}  {shift.before or 'none'} -> {shift.after or 'none'} {shift.unit}".rstrip()
        lines += _wrapped(said, width)
        if by := trial.because.get(shift.id):
            lines += _wrapped(f"by {', '.join(by)}", width, "      ")
    if not shown:
        lines += ["", "no figure changed"]
    for title, several in (
        ("expected, and no longer so", trial.found.missed),
        ("expected, and so again", trial.found.kept),
    ):
        if several:
            lines += ["", title, *(f"  expect {written}" for written in several)]
    return "\n".join(lines) + "\n"


def _title(figure: Figure) -> str:
    return figure.title.rpartition(" with the weight of ")[0] or figure.title


def _wrapped(text: str, width: int, indent: str = "  ") -> list[str]:
    return wrap(
        text,
        width,
        initial_indent=indent,
        subsequent_indent=f"{indent}    ",
        break_on_hyphens=False,
        break_long_words=False,
    )


def dump(movement: str, trial: Trial, only: Iterable[str]) -> str:
    """The object of `figures --set --json` as text ending with a newline."""
    wanted = set(only)
    made = {
        "schema": NAME,
        "movement": movement,
        "tried": [{"path": path, "value": value} for path, value in trial.tried],
        "when": trial.when,
        "swing": [
            {
                "title": _title(figure),
                "value": figure.value,
                "unit": figure.unit,
                "uncertainty": figure.uncertainty,
                "cautions": list(figure.cautions),
            }
            for figure in trial.swing
        ],
        "figures": [
            asdict(shift) | {"by": list(trial.because.get(shift.id, ()))}
            for shift in trial.figures
            if shift.id in wanted
        ],
        "missed": list(trial.found.missed),
        "kept": list(trial.found.kept),
    }
    return json.dumps(made, ensure_ascii=False, indent=2) + "\n"


def schema() -> dict[str, Any]:
    """The JSON Schema of `figures --set --json` and `figures --season --json`."""
    number = {"type": ["number", "null"]}
    figure = {
        "id": STRING,
        "title": STRING,
        "before": STRING,
        "after": STRING,
        "unit": STRING,
        "difference": number,
        "beyond": YES
        | {"description": "whether it changed by more than both uncertainties let through (k = 2)"},
        "by": list_of(STRING)
        | {"description": "the changed figures that it is worked out from, else the changed facts"},
    }
    swing = {
        "title": STRING,
        "value": number,
        "unit": STRING,
        "uncertainty": number,
        "cautions": list_of(STRING),
    }
    return document(
        NAME,
        {
            "movement": STRING,
            "tried": list_of(an_object({"path": STRING, "value": STRING})),
            "when": STRING,
            "swing": list_of(an_object(swing)),
            "figures": list_of(an_object(figure)),
            "missed": list_of(STRING),
            "kept": list_of(STRING),
        },
    )
