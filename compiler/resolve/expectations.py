"""Sentences behind `expect`, read into the figure they are about, a comparison and a value."""

from __future__ import annotations

import re
from typing import Literal

from countwheel import units
from countwheel.diagnostics.record import Diagnostic
from countwheel.diagnostics.registry import say
from countwheel.model.clock import Clock, Expectation
from countwheel.model.node import Node, slug
from countwheel.resolve.numbers import as_fraction

_FORMS = (
    "expect going lasts at least 8 days",
    "expect pendulum beats 2880 an hour",
    "expect every hand turns clockwise from outside",
    "expect strike blows 156 a day",
    "expect going.centre turns once an hour",
    "expect FIGURE at least VALUE",
)
_COMPARE = r"(?P<compare>at least|at most|is|of|=|≥|≤)?\s*"
_VALUE = r"(?P<number>[-−]?[\d./½¼¾ ]*\d|[½¼¾])\s*(?P<unit>\D.*?)?"
_WORDS: dict[str, Literal["at least", "at most"]] = {
    "at least": "at least",
    "at most": "at most",
    "≥": "at least",
    "≤": "at most",
}


def read_all(clock: Clock, report: list[Diagnostic]) -> tuple[Expectation, ...]:
    """Every `expect` line that can be understood; a fault for each that cannot."""
    found = []
    for node in clock.root.all("expect"):
        claim = node.values.get("claim")
        if claim is None or claim.kind != "words":
            continue
        text = re.sub(r"\s+", " ", claim.text).strip()
        expectation = _read(clock, node, text)
        if expectation is None and "*" in clock.damaged:
            continue  # what it is about may stand in what could not be read
        if expectation is None:
            report.append(
                say(
                    "M603",
                    claim.span,
                    "What is expected here cannot be understood.",
                    label="expect what?",
                    hints=(
                        "write it in one of these ways: " + "; ".join(_FORMS[:5]),
                        "or name a figure as `countwheel figures` prints it: " + _FORMS[5],
                    ),
                )
            )
        else:
            found.append(expectation)
    return tuple(found)


def _read(clock: Clock, node: Node, text: str) -> Expectation | None:
    claim, _, allowed = re.sub(r"\+/-|\+-", "±", text).partition("±")
    for pattern, reader in _READERS:
        match = re.fullmatch(pattern, claim.strip(), re.IGNORECASE)
        made = reader(clock, match) if match is not None else None
        if made is None:
            continue
        figures, comparison, target, unit = made
        slack = _slack(allowed, target, unit) if allowed else 0.0
        if slack is None:
            return None
        return Expectation(
            node=node,
            figures=figures,
            comparison=comparison,
            target=target,
            unit=unit,
            written=text,
            slack=slack,
        )
    return None


def _slack(text: str, target: float | str, dimension: str) -> float | None:
    """What stands behind ± in SI, or of the target where it is in %; None where it cannot be read."""
    match = re.fullmatch(_VALUE, text.strip())
    if match is None or isinstance(target, str):
        return None
    number = float(as_fraction(match["number"].strip()))
    form = (match["unit"] or "").strip()
    if units.lookup(form, "percent"):
        return abs(target) * number / 100
    unit = units.lookup(form, dimension) if form else None
    if unit is None:
        return number if dimension in ("plain", "") else None
    return number * abs(unit.size)


Comparison = Literal["is", "at least", "at most"]
Made = tuple[tuple[str, ...], Comparison, float | str, str]


def _value(match: re.Match[str]) -> tuple[Comparison, float, str] | None:
    """Comparison, value in SI and dimension of `at least 8 days`."""
    compare: Comparison = _WORDS.get((match["compare"] or "is").lower(), "is")
    try:
        number = float(as_fraction(match["number"].strip()))
    except ValueError:
        return None
    form = (match["unit"] or "").strip()
    if not form:
        return compare, number, ""
    if form == "times":
        return compare, number, ""
    for dimension in units.dimensions_of(form):
        unit = units.lookup(form, dimension)
        if unit is not None:
            return compare, number * unit.size + unit.offset, dimension
    return None


def _lasts(clock: Clock, match: re.Match[str]) -> Made | None:
    train = clock.train(slug(match["train"]))
    value = _value(match)
    if train is None or value is None or value[2] != "time":
        return None
    return (f"{train.name}.duration",), value[0], value[1], "time"


def _beats(clock: Clock, match: re.Match[str]) -> Made | None:
    value = _value(match)
    if value is None or value[2] != "frequency":
        return None
    going = [f"{train.name}.train.beats_per_hour" for train in clock.trains_of("going")]
    return (*going[:1], "pendulum.beats_per_hour"), value[0], value[1], "frequency"


def _blows(clock: Clock, match: re.Match[str]) -> Made | None:
    train = clock.train(slug(match["train"]))
    value = _value(match)
    if train is None or value is None or value[2] not in ("frequency", ""):
        return None
    if "12" in (match["unit"] or ""):
        return (
            (f"{train.name}.blows_per_12h",),
            value[0],
            float(as_fraction(match["number"].strip())),
            "plain",
        )
    return (f"{train.name}.blows_per_day",), value[0], float(as_fraction(match["number"].strip())), "plain"


def _hands(clock: Clock, match: re.Match[str]) -> Made | None:
    which = (match["which"] or "").strip().lower()
    hands = {"minute": ("minute_hand",), "hour": ("hour_hand",)}.get(which, ("minute_hand", "hour_hand"))
    asked = match.groupdict().get("dial")
    name = slug(asked.strip()) if asked else ""
    dials = [dial for dial in clock.dials if not name or dial.name == name]
    if not dials:
        return None
    figures = []
    for dial in dials:
        stated = [hand for hand in hands if _has_hand(dial.node, hand)]
        figures += [f"{dial.path}.{hand}.sense_from_outside" for hand in stated]
    return tuple(figures), "is", match["sense"].lower().replace("counter-clockwise", "anticlockwise"), "word"


def _has_hand(dial: Node, hand: str) -> bool:
    if hand == "minute_hand" and dial.says("one hand only"):
        return False
    return not dial.denies(hand.replace("_", " "))


def _turns(clock: Clock, match: re.Match[str]) -> Made | None:
    train_name, _, arbor_name = match["path"].lower().partition(".")
    train = clock.train(train_name)
    if train is None or train.arbor(arbor_name) is None:
        return None
    path = match["path"].lower()
    if match["sense"]:
        return (f"{path}.sense",), "is", match["sense"].lower(), "word"
    every = (match["every"] or "").strip()
    seconds = {"hour": 3600.0, "minute": 60.0, "day": 86400.0, "week": 604800.0}.get(every)
    if seconds is None:
        timed = re.fullmatch(_VALUE, every)
        unit = units.lookup((timed["unit"] or "").strip(), "time") if timed else None
        if timed is None or unit is None:
            return None
        seconds = float(as_fraction(timed["number"].strip())) * unit.size
    if seconds <= 0:
        return None
    return (f"{path}.turns_per_hour",), "is", 1 / seconds, "frequency"


def _motion(clock: Clock, match: re.Match[str]) -> Made | None:
    return ("motion_work.ratio",), "is", float(match["ratio"]), "plain"


def _figure(clock: Clock, match: re.Match[str]) -> Made | None:
    value = _value(match)
    if value is None:
        return None
    return (match["figure"].lower(),), value[0], value[1], value[2] or "plain"


_READERS = (
    (rf"(?P<train>[\w ]+?) lasts {_COMPARE}{_VALUE}", _lasts),
    (rf"pendulum beats {_COMPARE}{_VALUE}", _beats),
    (rf"(?P<train>[\w ]+?) (?:blows|strikes|sounds) {_COMPARE}{_VALUE}", _blows),
    (
        r"every (?P<which>minute |hour )?hand turns "
        r"(?P<sense>clockwise|anticlockwise|counter-clockwise)(?: from outside)?",
        _hands,
    ),
    (
        r"(?:the )?(?P<which>minute |hour )?hands? of (?:dial )?(?P<dial>[\w -]+?) turns? "
        r"(?P<sense>clockwise|anticlockwise)(?: from outside)?",
        _hands,
    ),
    (
        r"(?P<path>\w+\.\w+) turns (?:(?P<sense>clockwise|anticlockwise)(?: from (?:the "
        r")?front)?|once (?:an|a|in|every) (?P<every>.+))",
        _turns,
    ),
    (r"motion work is (?P<ratio>\d+) to 1", _motion),
    (rf"(?P<figure>\w+(?:\.\w+)+) {_COMPARE}{_VALUE}", _figure),
)
