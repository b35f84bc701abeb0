"""Where the power of a train goes, as bands whose widths are in proportion."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from countwheel.emit.clean import first_capital
from countwheel.emit.drawing import Drawing
from countwheel.emit.fall_facts import id_of
from countwheel.emit.naming import Names, train_name, train_stems
from countwheel.emit.sketch import DASHED, PLAIN, WIDE, Place, Sketch
from countwheel.emit.sketch_words import STEP, Foot, Sample, drawn, lines_of, paragraph, words_of
from countwheel.figures.record import Figure
from countwheel.figures.rounding import uncertainty_text
from countwheel.model.clock import Clock, Train

Figures = Mapping[str, Figure]
WHOLE = 80.0  # mm that the whole power is wide
_APART = 3.0
_IN, _PARTED, _OUT, _LABELS = 44.0, 62.0, 92.0, 101.0  # mm from the left: where the bands part, and end
_TIP = 5.0  # mm that the point of a band stands out


class Band(NamedTuple):
    """One part of a train's power: how wide it is drawn, in mm, and the lines beside it."""

    wide: float
    lines: tuple[str, ...]
    assumed: bool

    @property
    def tall(self) -> float:
        """The height that it takes on the right, with its words."""
        return max(self.wide, len(self.lines) * STEP) + _APART


def powers(clock: Clock, figures: Figures) -> tuple[Drawing, ...]:
    """`power-TRAIN` for every train whose budget is known in all its parts."""
    names = Names(clock)
    made = (_power(clock, train, stem, figures, names) for train, stem in train_stems(clock))
    return tuple(drawing for drawing in made if drawing is not None)


def parts_of(train: Train, figures: Figures) -> tuple[Figure, ...] | None:
    """The parts of a train's power budget; None where one waits, or takes less than nothing, or there are none."""
    start = f"{id_of(train)}.power_budget."
    parts = [one for id, one in figures.items() if id.startswith(start) and not id.endswith(".share")]
    whole = figures.get(start[:-1])
    if not parts or whole is None or not isinstance(whole.value, float) or whole.value <= 0:
        return None
    values = [part.value for part in parts]
    # Rounding may leave a nothing that is a little less than nothing.
    if not all(isinstance(value, float) and value > -1e-9 * whole.value for value in values):
        return None
    # What is lost on the way comes off first, what the train is for stands last.
    return tuple(sorted(parts, key=lambda part: part.id.rsplit(".", 1)[-1] not in ("pulleys", "meshes")))


def told(figure: Figure) -> str:
    """A figure's value with its unit and its standard uncertainty: '1.00 mW ± 0.46'."""
    spread = f" ± {uncertainty_text(figure.uncertainty)}" if figure.uncertainty else ""
    return f"{figure.shown} {figure.unit}{spread}"


def bands_of(
    whole: Figure, parts: tuple[Figure, ...], figures: Figures, names: Names, train: str
) -> list[Band]:
    """The bands in the order of the parts; their widths add up to `WHOLE`."""
    bands = []
    for part in parts:
        assert isinstance(part.value, float)
        assert isinstance(whole.value, float)
        share = figures.get(f"{part.id}.share")
        title = names.in_text(
            part.title.removeprefix("power ").removeprefix("that ").removeprefix("is "), train
        )
        lines = lines_of(first_capital(title), WIDE - _LABELS - 2)
        percent = f", {share.shown} %" if share is not None and share.shown else ""
        wide = max(part.value, 0.0) / whole.value * WHOLE
        # What is left of two equal numbers is nothing, whatever its last digits.
        amount = told(part) + percent if wide > 1e-6 else "0 mW"
        amounts = lines_of(amount, WIDE - _LABELS - 2)
        bands.append(Band(wide, (*lines, *amounts), part.standing == "assumed"))
    return bands


def _power(clock: Clock, train: Train, stem: str, figures: Figures, names: Names) -> Drawing | None:
    parts = parts_of(train, figures)
    if parts is None:
        return None
    whole = figures[f"{id_of(train)}.power_budget"]
    bands = bands_of(whole, parts, figures, names, train.name)
    title = f"Where the power of the {train_name(train, clock)} goes"
    key: list[tuple[Sample, str]] = []
    if any(band.assumed for band in bands):
        key.append(("dashed", "dashed: rests on something assumed"))
    notes = [
        "The width of each band is its share, and together they are as wide as what the weight gives."
        " ± is a standard uncertainty. The calculations give the working."
    ]
    foot = Foot(key, notes)
    heads = lines_of(f"The weight gives {told(whole)}, the mean over the day", _IN - 2)
    tall = max(sum(band.tall for band in bands), WHOLE)
    top = 3.0
    said = "; ".join(" ".join(band.lines) for band in bands)
    words = words_of(f"power-{stem}", title, f"Of {told(whole)} from the weight: {said}.")
    sketch = Sketch(words, top + tall + 2 + foot.height)
    begin = top + (tall - WHOLE) / 2
    middle = begin + (WHOLE - len(heads) * STEP) / 2
    name = lines_of(train_name(train, clock), _IN - 4)
    paragraph(sketch, (2.0, middle - len(name) * STEP), " ".join(name), _IN - 4, bold=True)
    paragraph(sketch, (2.0, middle), " ".join(heads), _IN - 2)
    sketch.line([(_IN, begin), (0.0, begin), (0.0, begin + WHOLE), (_IN, begin + WHOLE)])
    at, out = begin, top + (tall - sum(band.tall for band in bands)) / 2
    for band in bands:
        _band(sketch, band, at, out + (band.tall - band.wide) / 2)
        label = out + (band.tall - len(band.lines) * STEP) / 2
        for line in band.lines:
            label = paragraph(sketch, (_LABELS, label), line, WIDE)
        at, out = at + band.wide, out + band.tall
    return drawn(sketch, foot)


def _band(sketch: Sketch, band: Band, at: float, out: float) -> None:
    """A band from where it leaves the whole, at the height `at`, to its point beside its words, at `out`."""
    if band.wide <= 0.0:
        return
    reach = min(_TIP, max(band.wide / 2, 1.5))
    edge: list[Place] = [
        (_IN, at), (_PARTED, at), (_OUT - 10, out), (_OUT, out), (_OUT + reach, out + band.wide / 2),
        (_OUT, out + band.wide), (_OUT - 10, out + band.wide), (_PARTED, at + band.wide), (_IN, at + band.wide),
    ]  # fmt: skip
    sketch.line(edge, PLAIN, DASHED if band.assumed else "", fill="white")
