"""All drawings of how the clock runs: one of each train, the way to the dials, and those put down by hand.

Holds what goes on which sheet and the words that go with it. May import the
model and the figures, never the syntax.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from importlib import import_module

from countwheel.emit.drawing import Drawing
from countwheel.emit.naming import train_name, train_stems
from countwheel.figures.record import Figure
from countwheel.model.clock import Arbor, Clock, Train

_HUNTING_NOTE = (
    "hunts: in time every tooth meets every leaf of its mate; "
    "does not hunt: the same pair meets again after so many turns of the driver"
)


#: Beyond so many nobody could follow the lines of a drawing, and to lay it out would take minutes.
MOST_ARBORS, MOST_DIALS = 60, 100
_ON_A_SHEET = 24  # arbors of a train that no legible sheet can hold

# Those put down by hand, in the order of the sheets: module and function, (clock, figures) -> its drawings.
_BY_HAND = (
    ("draw_fall", "falls"),
    ("draw_power", "powers"),
    ("draw_strikes", "strike_pattern"),
    ("draw_count_wheel", "count_wheels"),
    ("draw_chime_barrel", "chime_barrels"),
    ("draw_arc", "arc_and_rate"),
    ("draw_plan", "dials_in_plan"),
    ("draw_record", "timekeeping"),
)  # fmt: skip


def draw_all(clock: Clock, figures: Mapping[str, Figure]) -> tuple[Drawing, ...]:
    """Every drawing that the clock has the parts for: its trains in their order, the way to the dials, then the rest.

    Raises NoLayoutEngine where no layout engine can be run.
    """
    makers: tuple[Callable[[Clock, Mapping[str, Figure]], Sequence[Drawing]], ...] = (
        _draw_trains,
        _draw_arbors,
        _draw_dials,
        by_hand,
    )
    return tuple(drawing for make in makers for drawing in make(clock, figures))


def by_hand(clock: Clock, figures: Mapping[str, Figure]) -> tuple[Drawing, ...]:
    """The drawings of the clock as a whole that need no layout engine, laid out as the thing itself is."""
    rows = [row for row in _BY_HAND if row[0] != "draw_plan" or len(clock.dials) <= MOST_DIALS]
    makers = (getattr(import_module(f"countwheel.emit.{module}"), maker) for module, maker in rows)
    return tuple(drawing for maker in makers for drawing in maker(clock, figures))


def _too_many(id: str, title: str, clock: Clock, what: str) -> Drawing:
    """A sheet that says in words why there is nothing drawn on it."""
    from countwheel.emit.sheet_tags import EDGE, put_title, title_height
    from countwheel.emit.sketch import WIDE, Sketch
    from countwheel.emit.sketch_words import STEP, lines_of, paragraph, words_of

    wide = WIDE - 2 * EDGE
    said = f"{what}: too many for one drawing. The tables have them all."
    top = title_height(title, clock.name)
    sketch = Sketch(words_of(id, title, said), top + STEP * (len(lines_of(said, wide)) + 1))
    put_title(sketch, title, clock.name)
    paragraph(sketch, (EDGE, top), said, wide)
    return sketch.finish()


# -- trains ------------------------------------------------------------------


def _stems(clock: Clock) -> Iterator[tuple[Train, str]]:
    """Each train that has arbors, with a stem of its own for the ids of its drawings."""
    return ((train, stem) for train, stem in train_stems(clock) if train.arbors)


def _draw_trains(clock: Clock, figures: Mapping[str, Figure]) -> list[Drawing]:
    return [
        drawing
        for train, stem in _stems(clock)
        for drawing in _draw_train(clock, train, figures, f"train-{stem}")
    ]


def _draw_arbors(clock: Clock, figures: Mapping[str, Figure]) -> list[Drawing]:
    """To scale: each train from the side and from the front."""
    from countwheel.emit.draw_elevation import draw_elevations
    from countwheel.emit.draw_face import draw_faces

    return [
        drawing
        for train, stem in _stems(clock)
        for draw in (draw_elevations, draw_faces)
        if len(train.arbors) <= MOST_ARBORS
        for drawing in draw(clock, train, figures, stem, _title(train, clock))
    ]


def _title(train: Train, clock: Clock) -> str:
    name = train_name(train, clock)
    return train.name if train.name == name else f"The {name}"


def _describe(train: Train, arbors: Sequence[Arbor]) -> str:
    """The drawing in words: each arbor with what it carries, in order."""
    from countwheel.emit.draw_train import arbor_in_words

    return "; ".join(arbor_in_words(arbor) for arbor in arbors)


def _draw_train(clock: Clock, train: Train, figures: Mapping[str, Figure], stem: str) -> list[Drawing]:
    """One sheet, or as many as keep the lettering legible."""
    from countwheel.emit.draw_train import train_graph
    from countwheel.emit.graph_svg import LEAST_LETTERING, Words, draw

    many = len(train.arbors)
    if many > MOST_ARBORS:
        return [_too_many(stem, _title(train, clock), clock, f"This train has {many} arbors")]
    meshed = any(f"{mesh.path}.common_factor" in figures for mesh in train.meshes)
    notes = (_HUNTING_NOTE,) if meshed else ()
    for sheets in range(1 + many // _ON_A_SHEET, many + 1):
        drawings: list[Drawing] = []
        legible = True
        for at in range(sheets):
            arbors = train.arbors[at * many // sheets : (at + 1) * many // sheets]
            of = f", sheet {at + 1} of {sheets}" if sheets > 1 else ""
            id = stem if at == 0 else f"{stem}-sheet-{at + 1}"
            title = f"{_title(train, clock)}{of}"
            alt = f"{title}, in the order of the power. {_describe(train, arbors)}."
            drawn = draw(train_graph(clock, train, figures, arbors), Words(id, title, alt, notes))
            legible = legible and drawn.lettering >= LEAST_LETTERING
            drawings.append(Drawing(id, title, drawn.svg, alt, drawn.engine))
            if not legible and sheets < many:
                break  # the other sheets of this try would be laid out for nothing
        if legible or sheets == many:
            return drawings
    return []


# -- dials -------------------------------------------------------------------


def _draw_dials(clock: Clock, figures: Mapping[str, Figure]) -> list[Drawing]:
    from countwheel.emit.draw_dials import dials_graph, way_in_words
    from countwheel.emit.graph_svg import Words, draw

    id, title = "way-to-the-dials", f"The way to the {'dial' if len(clock.dials) == 1 else 'dials'}"
    if len(clock.dials) > MOST_DIALS:
        return [_too_many(id, title, clock, f"This clock has {len(clock.dials)} dials")]
    graph = dials_graph(clock, figures)
    if graph is None:
        return []
    alt = f"{title}, from the movement to the hands. {way_in_words(clock, figures)}."
    drawn = draw(graph, Words(id, title, alt))
    return [Drawing(id, title, drawn.svg, alt, drawn.engine)]
