"""What the record tells, in sentences: for the terminal, and for the words of the drawing."""

from __future__ import annotations

from math import floor, inf, isfinite, log10, sqrt

from countwheel.record.coefficients import UNITS, Coefficient
from countwheel.record.comparing import Compared
from countwheel.record.entries import EYE_AND_EAR
from countwheel.record.faults import Fault
from countwheel.record.report import Report
from countwheel.record.wander import LEAST_FOR_WANDER

MINUS = "−"
_NAMES = {"temperature": "warmth", "pressure": "air pressure", "arc": "arc"}


# -- numbers ---------------------------------------------------------------------
def plain(value: float, decimals: int) -> str:
    """Without a sign but a minus; no minus before nothing."""
    shown = f"{abs(value):.{decimals}f}"
    return f"{MINUS}{shown}" if value < 0 and float(shown) else shown


def signed(value: float, decimals: int) -> str:
    shown = plain(value, decimals)
    return shown if shown.startswith(MINUS) or not float(shown) else f"+{shown}"


def decimals_of(half: float, digits: int = 2) -> int:
    """Decimals that show a half-width to that many digits."""
    return max(0, digits - 1 - floor(log10(half))) if half > 0 and isfinite(half) else 1


def pair(value: float, half: float) -> str:
    """'+0.24 ± 0.32'."""
    if not isfinite(half):
        return f"{signed(value, 1)} ± ?"
    places = decimals_of(half)
    return f"{signed(value, places)} ± {plain(half, places)}"


def seconds(amount: float) -> str:
    """'12 s', '1.4 s', '58 min': a size, to the digits that a keeper would say."""
    size = abs(amount)
    if size >= 600:
        return f"{size / 60:.0f} min"
    return f"{size:.0f} s" if size >= 10 else f"{size:.1f} s"


def _way(amount: float) -> str:
    return "fast" if amount > 0 else "slow"


# -- what to turn ------------------------------------------------------------------
def advice_words(report: Report) -> list[str]:
    """The instruction first, then what it rests on."""
    one = report.advice
    if one.action == "wait" or one.rate is None:
        return [
            "Wait. Since the clock was last adjusted, or set going, there are not readings enough to judge by: it takes"
            " three, over ten days or more. Read it at every winding and turn nothing until then."
        ]
    gaining = "gains" if one.rate > 0 else "loses"
    at = f", at {plain(one.warmth, 0)} °C as it was lately" if one.warmth is not None else ""
    rate = f"Since {one.since} the rate is {pair(one.rate, one.half)} s a day{at}."
    after = f"in {one.weeks} weeks"
    more = f"It may then go out by up to {seconds(one.expected + abs(one.drifts_by))} {after}, if nothing else changes."
    if report.faults:
        do = "Look for a fault before anything is turned: see below. To regulate now would only hide it."
        return [do, rate]
    if one.action == "leave":
        if abs(one.rate) <= one.half:
            return [
                f"Leave it alone: the record does not tell whether it gains or loses. {rate}",
                _put_right(more),
            ]
        least = "the smallest step that is worth making"
        if one.least is not None:
            least = (
                f"{_fraction(one.least)} turn of the nut makes, and no less can be judged while its divisions are not"
                " stated"
            )
        return [f"Leave it alone: it {gaining}, but by less than {least}. {rate}", _put_right(more)]
    if one.action == "unknown":
        return [
            f"It {gaining}, but the description does not tell what a turn of the nut or a weight on the tray does."
            f" {rate} State the rating nut's thread and divisions, or the tray, and the pendulum's measures."
        ]
    if one.action == "tray":
        grams = abs(one.grams or 0.0)
        lay = "Lay" if (one.grams or 0.0) > 0 else "Take"
        where = "on the tray" if lay == "Lay" else "off the tray"
        do = f"{lay} {grams:g} g {where}, without touching the rod."
        if lay == "Take":
            do += " If less lies on it, take off what there is, and see what is left to do."
    else:
        do = f"{_nut_words(one.turns or 0.0, one.divisions, one.raises)} Steady the bob while the nut is turned."
    left = f"It should then go within {plain(abs(one.left) + one.half, decimals_of(one.half, 1))} s a day."
    return [
        do,
        f"{rate} {left}",
        f"{more} Write down what you did, and read it for two weeks before the next.",
    ]


def _put_right(more: str) -> str:
    return more.replace("It may then", "Put right now, it may")


def _nut_words(turns: float, divisions: float | None, raises: str) -> str:
    up = turns > 0
    number = abs(divisions if divisions is not None else turns)
    unit = "division" if divisions is not None else "turn"
    shown = _fraction(number)
    way = "up, so that the bob rises" if up else "down, so that the bob sinks"
    side = ""
    if raises:
        other = {"left": "right", "right": "left"}[raises]
        side = f" (to the {raises if up else other}, seen from below)"
    return f"Turn the rating nut {shown} {unit}{'s' if number > 1 else ''} {way}{side}."


_PARTS = ((0.5, "1/2"), (0.25, "1/4"), (0.125, "1/8"), (0.0625, "1/16"))


def _fraction(number: float) -> str:
    whole, part = int(number), number - int(number)
    shown = next((told for size, told in _PARTS if abs(part - size) < 1e-6), "")
    if part < 1e-6:
        return str(whole)
    return (f"{whole} {shown}" if whole else shown) if shown else f"{number:.3g}"


# -- faults and odd readings ---------------------------------------------------------
def fault_words(one: Fault) -> str:
    if one.kind == "rate drifts":
        return (
            f"From {one.first} to {one.last} the rate itself changes, by {pair(one.amount, one.half)} s a day each"
            " month. A rate is mended by the nut, a change of rate is not. Thickening oil, a line or a weight that"
            " rubs,"
            " something working loose at the suspension, or damp in a wooden rod does this."
        )
    if one.kind == "arc falls":
        places = decimals_of(one.half, 1)
        return (
            f"From {one.first} to {one.last} the swing grew smaller, by {plain(one.amount, places)} ± "
            f"{plain(one.half, places)} ° each month. The clock is losing power, or the pallets want oil: find out why"
            " before it stops. Regulating does not help."
        )
    return (
        f"Before {one.last} the clock jumped {seconds(one.amount)} {_way(one.amount)}, and the log does not say why."
        " Hands that slip on their arbor, a tooth that was missed, or hands that somebody set do this."
    )


def odd_words(report: Report) -> list[str]:
    said = []
    for one in report.cleaned.odd:
        like = f", like {one.likely}" if one.likely else ""
        by = f' by "{one.entry.by}"' if one.entry.by else ""
        if one.as_left:
            said.append(
                f"{one.entry.when}{by}: what it was set to is, as written, {seconds(one.amount)} too {_way(one.amount)}"
                f" for what follows{like}; not used. Were the hands left as written?"
            )
        elif one.jump:
            said.append(
                f"{one.entry.when}{by}: from here on the clock is {seconds(one.amount)} {_way(one.amount)} of where it"
                f" was going{like}; the record is cut here. If the hands were set, write `set` in the log."
            )
        else:
            said.append(
                f"{one.entry.when}{by}: reads {seconds(one.amount)} too {_way(one.amount)} for its neighbours{like};"
                " set aside. If it was read wrong, write `doubted` and why at its end."
            )
    return said


# -- what moves it -------------------------------------------------------------------
def coefficient_words(one: Coefficient, wooden: bool = False) -> str:
    name = _NAMES[one.of]
    unit = UNITS[one.of]
    if one.value is None:
        return f"{name}: not yet; {one.why_not}."
    shown = f"{pair(one.value, one.half)} s a day for each {unit}"
    with_ = f", {_NAMES[one.beside]} taken out," if one.beside else ""
    if not one.told:
        return f"{name}: not yet; {one.why_not}. What the {one.intervals} intervals say is {shown}."
    does = "gains" if one.value > 0 else "loses"
    more = {"temperature": "warmer", "pressure": "more pressure", "arc": "more swing"}[one.of]
    season = ""
    if abs(one.with_date) > 0.6:
        season = (
            " Beware: it changed mostly with the date, so that a slow change of the clock may be in this."
        )
    if wooden and one.of == "temperature":
        season += " The rod is of wood: the damp that goes with the seasons is in this, and no log has it."
    return f"{name}: with {more} it {does}: {shown}{with_} from {one.intervals} intervals.{season}"


_WHY = {
    "temperature": "A thermometer away from the rod, a rod slower to warm than the air, damp in a wooden rod, or a"
    " compensation that is other than described can explain it.",
    "pressure": "Air that the bob carries along, or an arc that changes with the air, can explain it.",
    "arc": "The escapement's own error, which no formula here holds, can explain it.",
    "nut": "Slack in the thread, a bob that did not follow, a rod that was twisted, or weather in between can explain"
    " it; if the sign is wrong, the nut was turned the other way.",
    "tray": "Weights that are not what they are marked, a tray at another height, or weather in between can explain"
    " it.",
}


def compared_words(one: Compared) -> str:
    what = {
        "temperature": "warmth",
        "pressure": "air pressure",
        "arc": "arc",
        "nut": f"the nut on {one.when}",
        "tray": f"the tray on {one.when}",
    }[one.of]
    half = 1.96 * one.recorded_error
    places = decimals_of(half)
    if one.low == one.high:
        described = (
            pair(one.low, 1.96 * one.described_error) if one.described_error else signed(one.low, places)
        )
    else:
        described = f"{signed(one.low, places)} to {signed(one.high, places)}"
    said = f"{what}: the record says {pair(one.recorded, half)}, the description {described} {one.unit}"
    if one.says_little:
        return f"{said}: no quarrel, but the record is too rough to tell."
    if one.agrees:
        return f"{said}: they agree."
    return f"{said}: they do not agree, by {plain(one.apart, places)}. {_WHY[one.of]}"


# -- how steady ------------------------------------------------------------------------
def stability_words(report: Report) -> list[str]:
    said = []
    if report.step is None:
        said.append("Deviation of the rate: not yet; the readings do not come at even steps.")
    elif not report.stability:
        said.append("Deviation of the rate: not yet; there are too few readings in a row at even steps.")
    else:
        told = "; ".join(
            f"{one.value:.2g} s a day over {_span(one.span)} ({one.terms} comparisons)"
            for one in report.stability
        )
        said.append(
            f"Allan deviation, from one such time to the next: {told}. Gaps in the readings are left out, not"
            " filled; the ageing of the rate and the weather are in it."
        )
    if report.wander > 0 and report.cleaned.rates is not None:
        month = sqrt(report.wander * 28.0)
        usual = (
            " (taken, for the record is too short to tell)"
            if report.cleaned.rates.spare < LEAST_FOR_WANDER
            else ""
        )
        said.append(
            f"Left to itself at a steady mean rate it wanders by about {seconds(month)} in four weeks{usual}."
        )
    return said


def _span(days: float) -> str:
    if abs(days - round(days / 7) * 7) < 0.01 and days >= 7:
        return "a week" if round(days) == 7 else f"{round(days / 7)} weeks"
    if days < 0.9:
        hours = 24.0 * days
        return f"{hours:.3g} hours" if hours >= 1.5 else f"{60.0 * hours:.0f} minutes"
    return "a day" if abs(days - 1) < 0.01 else f"{days:.3g} days"


def method_words(report: Report) -> list[str]:
    made = report.cleaned.rates
    scale = sqrt(report.scale)
    said = [
        f"A reading is taken to be good to {EYE_AND_EAR:g} s by eye and ear (our own judgement), and to the step that"
        " it is written to: a time to the second weighs more than one to the minute.",
        "Each stretch has a straight line by weighted least squares, which allows for readings that are wrong and for a"
        " clock that wanders; how much of each, the record tells.",
    ]
    if made is not None and made.freedom != inf and scale > 1.05:
        said.append(
            f"The readings scatter {scale:.1f} times as much as that; the ± have been made wider accordingly."
        )
    if isfinite(report.cleaned.limit):
        said.append(
            f"A reading is set aside where it lies {report.cleaned.limit:.1f} standard errors from what the others say:"
            " a record without fault loses one by this rule in a hundred such records."
        )
    if any(not entry.hour for entry in report.entries):
        said.append("An entry without a time of day is taken to be at noon.")
    return said
