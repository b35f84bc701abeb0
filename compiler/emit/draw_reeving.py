"""From the barrel to the weight, not to scale: the parts of the line, its pulleys, and what hangs on it."""

from __future__ import annotations

from countwheel.emit.draw_sheet import joined, owned
from countwheel.emit.graph_words import is_weak, marked, part, said, sized, standing
from countwheel.emit.naming import quoted
from countwheel.emit.sketch import DASHED, FINE, HEAVY, PLAIN, Box, Place, Sketch
from countwheel.emit.stated import all_there, fact, has, is_lost
from countwheel.model.node import Node

TALL_STRIP = 36.0
_APART, _LOW = 8.0, 15.0  # between two runs of line; from the upper pulleys to the lower ones
_MOST = 6


def has_weight(barrel: Node | None) -> bool:
    return any(has(barrel, word) for word in ("weight", "line", "parts"))


def put_reeving(sketch: Sketch, barrel: Node, left: float, top: float) -> Place:
    """The runs of the line from `left` on, with the weight below; returns the place of the weight, for its label.

    The line comes from the barrel over a fixed pulley, then goes down and up as often as it has parts: over one on
    the weight, over a fixed one. An even number of parts ends above, an odd one on the weight.
    """
    parts, weight, line = (fact(barrel, word) for word in ("parts", "weight", "line"))
    many = parts.count() if parts is not None else None
    runs = min(many or 1, _MOST)
    dash = DASHED if many is None or parts is None or is_weak(parts) or (line and is_lost(line)) else ""
    high, radius = top + 8.0, _APART / 2
    low = high + _LOW
    stated = all_there(barrel, "pulley")
    fixed = sum(has(pulley, "fixed") for pulley in stated)
    moving = sum(has(pulley, "on weight") for pulley in stated)
    xs = [left + _APART * at for at in range(runs + 1)]
    sketch.line([(left - 3, top + 2), (xs[-1] + 3, top + 2)], PLAIN)
    # from the barrel: cut off, for it is further away than the sheet is wide
    sketch.line([(xs[0], high), (xs[0], high + 8)], HEAVY, dash)
    break_mark(sketch, (xs[0], high + 8))
    for at in range(runs):
        sketch.line([(xs[at + 1], high), (xs[at + 1], low)], HEAVY, dash)
    if runs == 1:
        sketch.line([(xs[1], low), (xs[1], low + radius + 2)], HEAVY, dash)
    ends_above = runs > 1 and runs % 2 == 0
    if ends_above:
        sketch.line([(xs[-1], top + 2), (xs[-1], high)], HEAVY, dash)
    for at in range(0, runs, 2):
        _pulley(sketch, (xs[at] + radius, high), radius, at // 2 < fixed, top + 2)
    lower = list(range(1, runs, 2))
    for at in lower:
        _pulley(sketch, (xs[at] + radius, low), radius, (at - 1) // 2 < moving, low + radius + 2)
    hung = [xs[at] + radius for at in lower] or [xs[1]]
    if runs > 1 and not ends_above:
        hung.append(xs[-1])
        sketch.line([(xs[-1], low), (xs[-1], low + radius + 2)], HEAVY, dash)
    box = Box(min(hung) - 5, low + radius + 2, max(hung) + 5, top + TALL_STRIP - 1)
    sketch.rectangle(box, PLAIN, DASHED if weight is None or is_weak(weight) else "")
    return box.right, (box.top + box.bottom) / 2


def _pulley(sketch: Sketch, middle: Place, radius: float, stated: bool, hook: float) -> None:
    """A pulley, dashed where it is only assumed, with its hook up to the beam or down to the weight."""
    dash = "" if stated else DASHED
    sketch.circle(middle, radius, PLAIN, dash)
    sketch.line([middle, (middle[0], hook)], FINE, dash)
    sketch.circle(middle, 0.5, FINE, "", "black")


def break_mark(sketch: Sketch, at: Place) -> None:
    """Two short strokes over a line that is cut off."""
    for off in (-0.6, 0.6):
        sketch.line([(at[0] - 1.6, at[1] + off + 0.6), (at[0] + 1.6, at[1] + off - 0.6)], FINE)


def reeving_words(barrel: Node) -> tuple[str, ...]:
    """What hangs on the barrel, each on a line, with how it is known."""
    parts, weight, line = (fact(barrel, word) for word in ("parts", "weight", "line"))
    thick = fact(line, "diameter") or fact(line, "girth")
    pulleys = [
        ", ".join(
            (joined(quoted("pulley", pulley.label or ""), sized(fact(pulley, "diameter"))), *_where(pulley))
        )
        for pulley in all_there(barrel, "pulley")
    ]
    lines = (
        _weight_words(weight) if weight is not None else "",
        ", ".join(
            filter(None, (joined("line:", said(line)), owned(thick.word, thick) if thick is not None else ""))
        )
        if line is not None
        else "",
        marked(f"in {said(parts)} part{'' if said(parts) == '1' else 's'}", parts)
        if parts is not None
        else "parts of the line: ?",
        *pulleys,
        owned("fall", fact(barrel, "fall")),
    )
    return tuple(line for line in lines if line)


def _weight_words(weight: Node) -> str:
    """'weight: 12 cwt, copied'; the limits of what is not known stand in its value already."""
    slabs = fact(weight, "slabs")
    told = said(weight) or (
        f"{part(slabs, 'number')} slabs of {part(slabs, 'each')}" if slabs is not None else "?"
    )
    return ", ".join((f"weight: {told}", *(line for line in standing(weight) if line not in told)))


def _where(pulley: Node) -> tuple[str, ...]:
    return tuple(word for word in ("fixed", "on weight") if has(pulley, word))
