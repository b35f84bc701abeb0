"""What the tabs of a binder say that no other paper says: labels, spare parts, the log, photographs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from countwheel.emit.document import Photograph, Picture, Section, Tab, Word
from countwheel.emit.naming import Names
from countwheel.emit.photo import Fault, Photo
from countwheel.emit.phrase import phrase
from countwheel.emit.shown import Shown, date_text, show, value_text
from countwheel.emit.stated import all_there, fact, there
from countwheel.emit.traversal import blocks
from countwheel.emit.view import ClockView
from countwheel.emit.view_power import train_fact
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.model.values import Moment


# -- where a thing is told of ---------------------------------------------------
def codes(tabs: Iterable[Tab]) -> dict[str, str]:
    """For every id that can be linked to, the letter and chapter that it stands in: 'B 9', 'H' where no chapter is."""
    found: dict[str, str] = {}
    for tab in tabs:
        found[tab.id] = tab.letter
        front = (part for block in tab.document.front for part in blocks(block))
        found |= {part.id: tab.letter for part in front if isinstance(part, _NAMED)}
        for chapter in tab.document.chapters:
            code = f"{tab.letter}\u00a0{chapter.number}"  # never parted at the end of a line
            found[chapter.id] = code
            inside = (part for block in chapter.blocks for part in blocks(block))
            found |= {part.id: code for part in inside if isinstance(part, _NAMED)}
    return found


_NAMED = (Section, Picture, Photograph, Word)


# -- labels to tie on -----------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Label:
    """`kind`: arbor, weight, handle, shaft or loose. `counts` are names with their count (None: not known)."""

    kind: str
    name: str
    path: str
    counts: tuple[tuple[str, Shown], ...]
    of: Shown | None
    to: str


def labels_of(clock: Clock, view: ClockView, codes: Mapping[str, str]) -> tuple[Label, ...]:
    """A label for each arbor, weight, winding handle, shaft and loose part; what is lost has none."""
    return tuple(_labels(clock, view, codes))


def _labels(clock: Clock, view: ClockView, codes: Mapping[str, str]) -> Iterator[Label]:
    def first(*ids: str) -> str:
        return next((id for id in ids if id in codes), "manual")

    names = view.names
    for at, (train, shown) in enumerate(zip(clock.trains, view.trains, strict=True), 1):
        counts = first(f"manual-counts-{at}", "manual-counts")
        for arbor, rows in zip(train.arbors, shown.arbors, strict=True):
            if not rows.lost:
                held = tuple((row.name, row.count) for row in rows.rows)
                yield Label("arbor", names.part(arbor.path, "arbor"), arbor.path, held, None, counts)
        power = shown.power
        how = _numbered(view, shown.name)
        told = first(*how, "manual-winding", "manual-counts")
        weight = fact(there(train.barrel), "weight")
        if power.weight and not power.weight.lost and weight:
            yield Label(
                "weight", names.part(weight.path, "weight"), weight.path, (), power.weight.total, told
            )
        winding = train_fact(train, "winding")
        if power.winding and power.winding.by in ("handle", "lever", "bars") and winding:
            name = f"{power.winding.by}, {shown.called}"
            yield Label("handle", name, winding.path, (), power.winding.throw, told)
    way = first("drawings-way-to-the-dials", "manual-setting", "manual-counts")
    for lead in clock.leading_off:
        for step in lead.steps:
            if step.kind == "shaft":
                of = show(fact(step.node, "length"))
                yield Label("shaft", names.part(step.node.path, "shaft"), step.node.path, (), of, way)
    for word in ("loose wheel", "loose weight"):
        for node in all_there(clock.root, word):
            yield Label(
                "loose",
                names.part(node.path, word),
                node.path,
                (),
                show(node),
                first("spares-kept", "spares"),
            )


def _numbered(view: ClockView, train: str) -> tuple[str, ...]:
    """The section of the winding chapter that a train has: the chapter numbers them in its own order."""
    by_hand = [one.name for one in view.by_hand]
    motors = [one.name for one in view.motors]
    if train in by_hand:
        return (f"manual-winding-{by_hand.index(train) + 1}",)
    return (f"manual-motor-{motors.index(train) + 1}",) if train in motors else ()


# -- spare parts ----------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Spare:
    """A part that wears out: what it is called, its path, what is stated of it (word, value) that a shop asks for."""

    name: str
    path: str
    facts: tuple[tuple[str, Shown], ...]


@dataclass(frozen=True, slots=True)
class Spares:
    lines: tuple[Spare, ...]
    others: tuple[Spare, ...]
    sorts: str  # what the others are: 'springs, clicks and pulleys'
    kept: tuple[Spare, ...]  # what lies loose
    tasks: tuple[str, ...]  # what is done with oil or something else out of a can


_OF_LINES = (
    *("construction", "diameter", "girth", "grade", "breaking force", "length", "ending", "fitted"),
    "condition",
)
_OTHERS = {"suspension spring": "springs", "click": "clicks", "pulley": "pulleys", "hammer": "hammers"}
# of a hammer: what it does in the clock, and not what a shop would ask for
_SKIPPED = frozenset(
    {"remark", "lost", "fixed", "on weight", "replaced", "efficiency"}
    | {"on", "lift", "each change", "pulled off", "check spring"}
)
_FROM_A_CAN = ("oil", "grease", "clean", "wax", "paint")


def spares_of(clock: Clock, view: ClockView) -> Spares:
    names = view.names
    lines = []
    for train in clock.trains:
        line = fact(there(train.barrel), "line")
        if line:
            kind = show(line, "kind")
            found = tuple((word, shown) for word in _OF_LINES if (shown := show(fact(line, word))))
            lines.append(
                Spare(names.part(line.path, "line"), line.path, ((("kind", kind),) if kind else ()) + found)
            )
    others = [node for node in _walk(clock.root) if node.word in _OTHERS and _facts(node)]
    return Spares(
        tuple(lines),
        tuple(_spare(node, names) for node in others),
        _listed([many for word, many in _OTHERS.items() if any(node.word == word for node in others)]),
        tuple(
            _spare(node, names, show(node))
            for word in ("loose wheel", "loose weight")
            for node in all_there(clock.root, word)
        ),
        tuple(task.what for task in view.tasks if task.what.lower().startswith(_FROM_A_CAN)),
    )


def _listed(names: list[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), *names[-1:])))


def _walk(node: Node) -> Iterator[Node]:
    for inner in node.facts:
        if there(inner):
            yield inner
            yield from _walk(inner)


def _facts(node: Node) -> tuple[tuple[str, Shown], ...]:
    shown = ((inner.word, show(inner)) for inner in node.facts if inner.word not in _SKIPPED)
    return tuple((word, value) for word, value in shown if value)


def _spare(node: Node, names: Names, value: Shown | None = None) -> Spare:
    own = (("", value),) if value else ()
    return Spare(names.part(node.path, node.word), node.path, own + _facts(node))


# -- the log --------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Logged:
    """One entry: day and time, the error found and left, what was read (warmth, air, arc) and done, by whom."""

    on: str
    at: str
    found: str
    left: str
    read: tuple[str, ...]
    done: tuple[str, ...]
    by: str


_READ = frozenset({"at", "arc"})


def log_of(clock: Clock) -> tuple[Logged, ...]:
    """The entries by day and time; those of one moment as they were written."""
    entries = [entry for log in all_there(clock.root, "log") for entry in log.facts]
    return tuple(map(_logged, sorted(entries, key=_moment)))


def _moment(entry: Node) -> tuple[str, str]:
    on, at = (entry.values.get(part) for part in ("date", "time"))
    return (on.iso if isinstance(on, Moment) else "", at.iso if isinstance(at, Moment) else "")


def _logged(entry: Node) -> Logged:
    def told(word: str) -> str:
        event = entry.get(word)
        return _event(event).removeprefix(word).strip() or "right" if event else ""

    on, at = _moment(entry)
    apart = {"found", "left", "by", *_READ}
    return Logged(
        date_text(on, short=True),
        at[:5],
        told("found"),
        told("left"),
        tuple(_event(event) for event in entry.facts if event.word in _READ),
        tuple(_event(event) for event in entry.facts if event.word not in apart),
        entry.text("by") or "",
    )


def _event(event: Node) -> str:
    """'nut 1/5 division down': the event in its own words; a note is its text alone."""
    said = {part: value_text(value) for part, value in event.values.items()}
    text = phrase(event, "entry", said)
    if event.word in ("note", "at"):
        return text
    return f"{event.word}{':' if event.word == 'stopped' and text else ''} {text}".strip()


# -- photographs ----------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Shot:
    """A photograph of the description; `photo` is a `Fault` where it cannot be shown."""

    number: int
    file: str
    caption: str
    taken: str
    of: tuple[tuple[str, str], ...]  # what it shows: name, path
    photo: Photo | Fault


def photos_of(clock: Clock, names: Names, found: Mapping[str, Photo | Fault]) -> tuple[Shot, ...]:
    shots = []
    for number, node in enumerate(clock.root.all("photo"), 1):
        file = node.text(part="file") or ""
        taken = show(node.get("taken"))
        of = (node.text(part="of"), *(inner.text() for inner in node.all("of")))
        shown = tuple((names.part(path), path) for path in of if path)
        shots.append(
            Shot(
                number,
                file,
                node.text("caption") or "",
                taken.text if taken else "",
                shown,
                found.get(file, "missing"),
            )
        )
    return tuple(shots)
