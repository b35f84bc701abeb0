"""What an owner is pointed to in the country of a clock, read from `templates/manual/countries.table`."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files

from countwheel.emit.view import ClockView


@dataclass(frozen=True, slots=True)
class Rule:
    """`when` it applies to a clock, for what, and where to look (in the neutral form: what to ask for)."""

    when: str
    what: str
    look: str


@dataclass(frozen=True, slots=True)
class Country:
    """`name` as in a sentence, '' for the neutral form; `names`, in small letters, and `zones` it is found by.

    `call` is the number of the emergency services, '' where it is not known.
    """

    name: str = ""
    names: tuple[str, ...] = ()
    zones: tuple[str, ...] = ()
    call: str = ""
    rules: tuple[Rule, ...] = ()


def country_of(view: ClockView) -> Country:
    """The country of a clock with the rules that apply to such a clock; the neutral form for one that is not listed."""
    *listed, other = _countries()
    said = view.country.lower()
    found = next((one for one in listed if said in one.names), None)
    if found is None and not said:
        found = next((one for one in listed if view.time_zone in one.zones), None)
    found = found or other
    there = {
        "always": True,
        "winding": view.ever_by_hand,
        "weights": bool(view.weights),
        "motors": bool(view.motors),
        "mercury": bool(view.pendulum and view.pendulum.mercury),
        "bells": bool(view.strikers),
    }
    return replace(found, rules=tuple(rule for rule in found.rules if there[rule.when]))


@cache
def _countries() -> tuple[Country, ...]:
    text = files("countwheel.emit").joinpath("templates/manual/countries.table").read_text(encoding="utf-8")
    made: list[Country] = []
    for line in text.splitlines():
        if not line or line.startswith("#"):
            continue
        kind, *cells = (cell.strip() for cell in line.split("|"))
        match kind:
            case "country":
                name, names, zones = cells
                made.append(Country(name, _listed(names.lower()), _listed(zones)))
            case "call":
                made[-1] = replace(made[-1], call=cells[0])
            case _:
                made[-1] = replace(made[-1], rules=(*made[-1].rules, Rule(*cells)))
    return tuple(made)


def _listed(cell: str) -> tuple[str, ...]:
    return tuple(one.strip() for one in cell.split(",") if one.strip())
