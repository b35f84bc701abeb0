"""The way from the movement to the dials: bevels, shafts, joints, motion work, hands."""

from __future__ import annotations

from collections.abc import Sequence

from countwheel.emit.graph import Box, Cell, Graph, Link
from countwheel.emit.graph_words import (
    Figures,
    dial_name,
    is_weak,
    part,
    said,
    sense,
    sized,
    standing,
    turns,
)
from countwheel.emit.naming import Names, ending, gear_noun, quoted, train_name
from countwheel.emit.stated import fact, has, is_lost, main_value, there
from countwheel.figures.record import Figure
from countwheel.figures.senses import upright
from countwheel.model.clock import Clock, Dial, LeadingOff, LeadStep
from countwheel.model.node import Node
from countwheel.model.values import Counts, Unknown

#: From so many dials on they stand one under another, to the right of the way that leads to them.
MANY_DIALS = 4


def _lines(*lines: str) -> tuple[str, ...]:
    return tuple(line for line in lines if line)


def _any_unknown(node: Node) -> bool:
    return is_weak(node) or any(isinstance(value, Unknown) for value in node.values.values())


def _motion(path: str, figures: Figures, seen: str) -> tuple[str, ...]:
    """Turns and sense of a shaft or an arbor, where there are figures of them."""
    rate, _ = turns(figures.get(f"{path}.turns_per_hour"))
    return _lines(rate, sense(figures.get(f"{path}.sense"), seen))


def _on(side: str, what: str = "") -> str:
    """'on the near side', 'above': which side of the driver the driven stands."""
    where = f"on the {side} side" if side in ("near", "far") else f"on {side}" if " " in side else side
    return " ".join(word for word in (what, where) if word) if side else ""


def step_lines(step: LeadStep, figures: Figures) -> tuple[str, ...]:
    """What is said of one step of the way, the most needed first."""
    node = step.node
    if step.kind in ("bevel", "gear"):
        what = "pair of bevels" if step.kind == "bevel" else "pair of wheels"
        return _lines(
            what,
            f"{part(node, 'driver')} drives {part(node, 'driven')}",
            _on(part(node, "side")),
            *standing(node),
        )
    if step.kind == "central bevel":
        driver = part(node, "driver") or said(node)
        return _lines(f"central bevel {driver}", _on(part(node, "side"), "dials"), *standing(node))
    if step.kind == "joint":
        angle = fact(node, "angle")
        error = _uneven(figures.get(f"{node.path}.unevenness"))
        return _lines(
            quoted("universal joint", node.label or ""),
            f"angle {sized(angle).replace(' °', '°')}" if angle is not None else "",
            error,
        )
    runs, length = said(fact(node, "runs")), sized(fact(node, "length"))
    return _lines(
        quoted("shaft", node.label or ""),
        f"runs {runs}" if runs else "",
        f"{length} long" if length else "",
        *_motion(node.path, figures, ""),
        *standing(node),
    )


# -- the dials ---------------------------------------------------------------


def _uneven(figure: Figure | None) -> str:
    """To two digits, which is more than a hand shows."""
    if figure is None or not isinstance(figure.value, (int, float)):
        return ""
    unit = "°" if figure.unit == "deg" else f" {figure.unit}"
    return f"uneven by up to {figure.value:.2g}{unit}"


def _count(work: Node, word: str) -> str:
    node = fact(work, word)
    if node is None:
        return f"{word} ?"
    return f"{word} {'?' if isinstance(main_value(node), Unknown) else said(node)}"


def _motion_work_cell(work: Node) -> Cell:
    counts = [fact(work, word) for word in ("cannon pinion", "minute wheel", "minute pinion", "hour wheel")]
    lines = (
        "motion work:",
        f"{_count(work, 'cannon pinion')} drives {_count(work, 'minute wheel')}",
        f"{_count(work, 'minute pinion')} drives {_count(work, 'hour wheel')}",
        *(f"{node.word} {line}" for node in counts if node is not None for line in standing(node)),
    )
    return Cell(lines, dashed=any(node is None or is_weak(node) for node in counts))


def _hand_cell(dial: Dial, hand: str, figures: Figures) -> Cell:
    if dial.node.denies(hand) or (hand == "minute hand" and has(dial.node, "one hand only")):
        return Cell((f"no {hand}",))
    if is_lost(fact(dial.node, hand)):
        return Cell((hand, "lost"), dashed=True)
    path = f"{dial.path}.{hand.replace(' ', '_')}"
    rate, missing = turns(figures.get(f"{path}.turns_per_hour"))
    way = sense(figures.get(f"{path}.sense_from_outside"), "from outside")
    return Cell(_lines(hand, rate, way or "sense not known"), dashed=missing)


def _dial_box(
    dial: Dial, driven: str, after: Sequence[LeadStep], figures: Figures, side_by_side: bool
) -> Box:
    """A dial with all that is its own: the bevel that turns it, its motion work, its hands."""
    across = sized(fact(dial.node, "diameter"))
    ways = (", ".join(step_lines(step, figures)) for step in after)
    lines = _lines(
        dial_name(dial),
        f"{across} across" if across else "",
        f"turned by bevel {driven}" if driven else "",
        *(f"by {way}" for way in ways),
    )
    head = Cell(lines, port="in", name=True, dashed=driven == "?")
    motion = there(dial.motion_work)
    work = (_motion_work_cell(motion),) if motion is not None else ()
    hands = (_hand_cell(dial, "minute hand", figures), _hand_cell(dial, "hour hand", figures))
    rows = ((head, *work), hands) if side_by_side else ((head,), work, hands)
    return Box(dial.path, tuple(row for row in rows if row), about=dial.path, outline="round")


def _source_box(clock: Clock, path: str, figures: Figures) -> Box:
    """The arbor of the movement that the way starts from; where it is a gear, the gear too."""
    for train in clock.trains:
        for arbor in train.arbors:
            gear = next((g for g in arbor.gears if path in (g.path, g.node.path)), None)
            if path != arbor.path and gear is None:
                continue
            count = "?" if gear is None or gear.teeth is None else str(gear.teeth)
            by = f"{gear_noun(gear.kind, gear.form, gear.label or '', gear.node)} {count}" if gear else ""
            lines = _lines(
                ending(arbor.name, "arbor"),
                f"of the {train_name(train, clock)}",
                by,
                *_motion(arbor.path, figures, "from above" if upright(arbor.node) else "from the front"),
            )
            _, missing = turns(figures.get(f"{arbor.path}.turns_per_hour"))
            return Box(f"from {path}", ((Cell(lines, port="out", name=True, dashed=missing),),), about=path)
    lines = ("movement", path or "from which arbor: ?")
    return Box(f"from {path}", ((Cell(lines, port="out", name=True, dashed=True),),), about=path)


# -- the ways ----------------------------------------------------------------


def _driven_counts(step: LeadStep | None, dials: int) -> tuple[str, ...]:
    """The count of the bevel at each dial; '?' where the description does not tell them apart."""
    if step is None:
        return ("",) * dials
    value = step.node.values.get("driven")
    if isinstance(value, Counts) and len(value.values) == dials:
        return tuple(str(count) for count in value.values)
    if isinstance(value, Counts) and len(set(value.values)) == 1:
        return (str(value.values[0]),) * dials
    return ("?",) * dials


def _draw_way(
    clock: Clock, way: LeadingOff, at: int, figures: Figures, boxes: list[Box], links: list[Link]
) -> tuple[str, ...]:
    """Puts one way and its dials down; returns the keys of its trunk, in order."""
    dials = [dial for dial in clock.dials if dial.name in way.dials]
    steps = way.steps
    middle = next((place for place, step in enumerate(steps) if step.kind == "central bevel"), None)
    trunk = steps if middle is None else steps[: middle + 1]
    after = () if middle is None else steps[middle + 1 :]
    source = _source_box(clock, way.from_path or "", figures)
    if all(box.key != source.key for box in boxes):
        boxes.append(source)
    keys = [source.key]
    for number, step in enumerate(trunk):
        key = f"way {at} step {number}"
        cell = Cell(step_lines(step, figures), port="in", name=True, dashed=_any_unknown(step.node))
        boxes.append(Box(key, ((cell,),), about=step.node.path))
        links.append(Link(keys[-1], key, "out" if number == 0 else "in", "in", kind="leads", main=True))
        keys.append(key)
    counts = _driven_counts(None if middle is None else steps[middle], len(dials))
    for dial, driven in zip(dials, counts, strict=True):
        boxes.append(_dial_box(dial, driven, after, figures, len(clock.dials) >= MANY_DIALS))
        links.append(Link(keys[-1], dial.path, "in" if trunk else "out", "in", kind="leads", branch=True))
    return tuple(keys)


def dials_graph(clock: Clock, figures: Figures) -> Graph | None:
    """All ways to all dials; None where there is no dial or no way is stated."""
    boxes: list[Box] = []
    links: list[Link] = []
    column: list[str] = []
    shown: set[str] = set()
    for at, way in enumerate(clock.leading_off):
        keys = _draw_way(clock, way, at, figures, boxes, links)
        column += [key for key in keys if key not in column]
        shown.update(way.dials)
    for dial in clock.dials:
        path = said(fact(dial.node, "driven by"))
        if dial.name in shown or not path:
            continue
        source = _source_box(clock, path, figures)
        if all(box.key != source.key for box in boxes):
            boxes.append(source)
            column.append(source.key)
        boxes.append(_dial_box(dial, "", (), figures, len(clock.dials) >= MANY_DIALS))
        links.append(Link(source.key, dial.path, "out", "in", kind="leads", branch=True))
    if not boxes:
        return None
    return Graph(tuple(boxes), tuple(links), tuple(column) if len(clock.dials) >= MANY_DIALS else ())


def way_in_words(clock: Clock, figures: Figures) -> str:
    """The drawing in words, for readers who cannot see it."""
    said_of: list[str] = []
    names = Names(clock)
    for way in clock.leading_off:
        steps = (" ".join(step_lines(step, figures)) for step in way.steps)
        source = f"the {names.phrase(way.from_path)}" if way.from_path else "an arbor that is not stated"
        said_of.append(f"From {source}: {', '.join(steps)}")
    for dial in clock.dials:
        hands = (
            ", ".join(_hand_cell(dial, hand, figures).paragraphs) for hand in ("minute hand", "hour hand")
        )
        said_of.append(f"{dial_name(dial).capitalize()}: {'; '.join(hands)}")
    works = {
        " ".join(_motion_work_cell(work).paragraphs)
        for dial in clock.dials
        if (work := there(dial.motion_work)) is not None
    }
    said_of += [work.capitalize() for work in sorted(works)]
    return ". ".join(said_of)
