"""The few words that stand on the drawings: counts, turns, ratios, what is known of an unknown."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from countwheel.emit.graph import Cell
from countwheel.emit.naming import ending, gear_noun
from countwheel.emit.stated import evidence, fact, has, is_lost, limits, main_value
from countwheel.figures.record import Figure
from countwheel.model.clock import Dial, Gear
from countwheel.model.node import Node
from countwheel.model.values import Unknown, Value

Figures = Mapping[str, Figure]


def is_weak(node: Node) -> bool:
    """Unknown, lost or only assumed: drawn dashed."""
    return isinstance(main_value(node), Unknown) or is_lost(node) or evidence(node).how == "assumed"


def plain(value: Value | None) -> str:
    """A value as the keeper wrote it, without its tolerance; '?' and what is known where unknown."""
    if value is None:
        return ""
    if isinstance(value, Unknown):
        return f"? {limits(value)}".strip()
    text = getattr(value, "text", None)
    return text if isinstance(text, str) else value.written.partition("±")[0].strip()


def said(node: Node | None) -> str:
    """The main value of a fact, as `plain` gives it; '' where the fact is not stated."""
    return plain(main_value(node))


def known_by(node: Node) -> tuple[str, ...]:
    """How the fact is known, in a word or two, where it was not counted, measured or read off the part."""
    known = evidence(node)
    how = (known.how,) if known.how in ("copied", "told", "estimated", "assumed", "deduced") else ()
    return (*how, "doubted") if known.doubted else how


def marked(text: str, node: Node | None) -> str:
    """What is said of a fact, with how it is known behind it: 'in 2 parts', 'in 2 parts (told)'."""
    how = ", ".join(known_by(node)) if node is not None else ""
    return f"{text} ({how})" if text and how else text


def sized(node: Node | None) -> str:
    """A count or a measure with how it is known: '34 ft', '34 ft (told)'."""
    return marked(said(node), node)


def part(node: Node | None, name: str) -> str:
    """A named part of a fact, as `plain` gives it; '' where it is not stated."""
    return plain(node.values.get(name)) if node is not None else ""


def dial_name(dial: Dial) -> str:
    """'north dial', 'setting dial', 'dial'."""
    return ending(dial.node.label or dial.name, "dial")


def standing(node: Node) -> tuple[str, ...]:
    """What the drawing must say of a part beside its count: lost, told, assumed, remains, where it lies."""
    known = evidence(node)
    lines: list[str] = []
    value = main_value(node)
    if isinstance(value, Unknown) and limits(value):
        lines.append(limits(value))
    remains = fact(node, "remains")
    if remains is not None:
        lines.append(f"{part(remains, 'left')} of {part(remains, 'of')} teeth remain")
    if is_lost(node):
        lines.append("perhaps lost" if known.perhaps else "lost")
    elif known.perhaps:
        lines.append("perhaps never there")
    lines += known_by(node)
    place = fact(node, "found in")
    if place is not None:
        lines.append(f"found in {said(place)}")
    if has(node, "belongs"):
        lines.append("belonging here is doubtful")
    return tuple(lines)


def gear_name(gear: Gear) -> str:
    """'great wheel', 'lantern pinion “hand”', 'pinion'."""
    return gear_noun(gear.kind, gear.form, gear.label or "", gear.node)


def gear_cell(gear: Gear, port: str = "") -> Cell:
    """The cell of a wheel or pinion: its name and count, its module, how it stands."""
    count = str(gear.teeth) if gear.teeth is not None else "?"
    starts = gear.node.count("starts")
    if starts is not None:
        lines = [gear_name(gear), f"{starts} start{'s' if starts > 1 else ''}"]
    else:
        lines = [f"{gear_name(gear)} {count}"]
    sizes = ("module", "circular pitch", "diametral pitch")
    module = next((size for word in sizes if (size := fact(gear.node, word))), None)
    if module is not None:
        lines.append(f"{module.word} {sized(module)}")
    return Cell((*lines, *standing(gear.node)), port=port, dashed=is_weak(gear.node))


# -- numbers -----------------------------------------------------------------


def decimal(value: Fraction | float, digits: int = 4) -> str:
    """A plain decimal of so many significant digits, without trailing zeros or powers of ten."""
    number = float(value)
    text = f"{number:.{digits}g}"
    if "e" in text:
        text = f"{number:.0f}" if abs(number) >= 1 else f"{number:.8f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def is_short(value: Fraction) -> bool:
    """Whether three decimals hold it exactly."""
    return 1000 % value.denominator == 0


def exactly(value: Fraction) -> str:
    """'12', '7.2', '20/3 ≈ 6.667'."""
    if value.denominator == 1:
        return str(value.numerator)
    if is_short(value):
        return f"{value.numerator}/{value.denominator} = {decimal(value, 7)}"
    return f"{value.numerator}/{value.denominator} ≈ {decimal(value)}"


def mixed(value: Fraction) -> str:
    """'12', '7 1/2', '1/6'; a decimal where the fraction would be no help."""
    whole, rest = divmod(value.numerator, value.denominator)
    if rest == 0:
        return str(whole)
    if value.denominator > 99:
        return f"{'' if is_short(value) else '≈ '}{decimal(value, 5)}"
    return f"{whole} {rest}/{value.denominator}" if whole else f"{rest}/{value.denominator}"


def period(hours: Fraction) -> str:
    """A time in days, hours, minutes and seconds: '6 h', '2 min 30 s', '≈ 51.43 s'."""
    seconds = hours * 3600
    inexact = not is_short(seconds)
    parts: list[str] = []
    for name, length in (("d", 86400), ("h", 3600), ("min", 60)):
        # Days only where they come out even: a keeper thinks of 36 h, not of 1 d 12 h.
        if name == "d" and (seconds % 86400 or seconds == 86400):
            continue
        many, seconds = divmod(seconds, length)
        if many:
            parts.append(f"{many} {name}")
    if seconds:
        parts.append(f"{decimal(seconds, 3 if parts else 4)} s")
    return ("≈ " if inexact else "") + " ".join(parts)


def turns(figure: Figure | None) -> tuple[str, bool]:
    """How fast an arbor turns, and whether that is missing: ('1 turn in 6 h', False)."""
    if figure is None:
        return "", False
    rate = figure.exact
    if rate is not None and rate > 0:
        if rate == 1:
            return "1 turn an hour", False
        if rate < 1:
            return f"1 turn in {period(1 / rate)}", False
        return f"{mixed(rate)} turns an hour, one in {period(1 / rate)}", False
    if figure.value is not None:
        return f"{figure.shown or figure.value} turns an hour", False
    return "turns an hour: ?", True


def sense(figure: Figure | None, seen: str) -> str:
    """'clockwise from the front', with `seen` added where the figure does not say it.

    '' where the figure waits or is not there.
    """
    if figure is None or not isinstance(figure.value, str) or not figure.value:
        return ""
    text = figure.shown or figure.value
    return text if "from" in text else f"{text} {seen}".strip()


def ratio(driver: int | None, driven: int | None, figure: Figure | None) -> str:
    """'144 ÷ 12 = 12', '80 ÷ 12 = 20/3 ≈ 6.667'; with '?' where a count is unknown."""
    counts = f"{driver if driver is not None else '?'} ÷ {driven if driven is not None else '?'}"
    if figure is None or figure.exact is None:
        return counts
    value = exactly(figure.exact)
    # Counts without a common factor are their own fraction.
    return (
        f"{counts} {value.removeprefix(f'{driver}/{driven} ')}"
        if value.startswith(f"{driver}/{driven} ")
        else f"{counts} = {value}"
    )


def hunting(factor: Figure | None, again: Figure | None) -> str:
    """Whether every tooth comes to meet every leaf, else how soon the same pair meets again; '' if not known.

    `factor` is the common factor of the counts, `again` the turns of the driver between two meetings.
    """
    if factor is None or factor.exact is None:
        return ""
    if factor.exact == 1:
        return "hunts"
    if again is None or again.exact is None:
        return "does not hunt"
    every = "every turn" if again.exact == 1 else f"every {mixed(again.exact)} turns"
    return f"does not hunt: same pair {every}"


def turns_each(figure: Figure | None, what: str) -> str:
    """How far an arbor turns at each blow or change: '8 turns a blow', '1 turn in 20 blows'."""
    if figure is None or figure.value is None:
        return ""
    if figure.exact is None:
        return f"{figure.shown} turns a {what}"
    if figure.exact == 1:
        return f"1 turn a {what}"
    if figure.exact.numerator == 1:
        return f"1 turn in {figure.exact.denominator} {what}s"
    return f"{mixed(figure.exact)} turns a {what}"
