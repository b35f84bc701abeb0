"""How fast every arbor of a train turns and which way, told from its figures alone. Nothing here is drawn."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from countwheel.emit.train_tree import Tree
from countwheel.figures.record import Figure
from countwheel.figures.senses import opposite
from countwheel.model.clock import Arbor, Sense, Train

Figures = Mapping[str, Figure]
#: A train that strikes or chimes is let off: what it turns by, and the name of that in the figures' ids.
_LET_OFF = {"turns_per_blow": "blow", "turns_per_change": "change"}


class Run(NamedTuple):
    """How a train runs. `by` is '' for one that goes all day, else what it is let off for: blow, change.

    `seconds` is the time from one of those to the next, None where it is not known; `estimated` where it comes from
    the drag of the fly and nobody measured it.
    """

    by: str
    seconds: float | None = None
    estimated: bool = False


class Turning(NamedTuple):
    """How an arbor turns: turns an hour while its train runs, and the sense as its figure gives it.

    `figure` is the id that the speed was taken from. Where either is not known it stands still, and `lacking` names
    what is: 'speed', 'sense' or 'both'; '' where it turns.
    """

    per_hour: float | None
    sense: Sense | None
    figure: str = ""

    @property
    def lacking(self) -> str:
        if self.per_hour is not None and self.sense is not None:
            return ""
        return "sense" if self.per_hour is not None else "speed" if self.sense is not None else "both"

    @property
    def clockwise_per_hour(self) -> float:
        """Turns an hour, clockwise counted up and anticlockwise down; 0 where it stands still."""
        if self.per_hour is None or self.sense is None:
            return 0.0
        return self.per_hour if self.sense == "clockwise" else -self.per_hour


def run_of(train: Train, figures: Figures) -> Run:
    """Whether a train goes all day or is let off, and then how quickly blow follows blow, or change change."""
    for word, by in _LET_OFF.items():
        if not any(f"{arbor.path}.{word}" in figures for arbor in train.arbors):
            continue
        stated = train.node.quantity("blow interval")
        if by == "blow" and stated is not None and stated.si > 0:
            return Run(by, stated.si)
        seconds = number(figures.get(f"{train.name}.{by}_interval"))
        return Run(by, seconds if seconds and seconds > 0 else None, True)
    return (
        Run("blow" if train.role == "strike" else "change") if train.role in ("strike", "chime") else Run("")
    )


def turnings(train: Train, tree: Tree, figures: Figures) -> dict[str, Turning]:
    """For the path of every arbor how it turns.

    The count wheel and the chime barrel, which have no figures of their own speed, follow from what drives them.
    """
    run = run_of(train, figures)
    found = {arbor.path: _of(arbor, run, figures) for arbor in tree.arbors}
    for pairs in tree.below.values():
        for pair in pairs:
            driver, driven = found[pair.driver.path], found[pair.driven.path]
            counted = pair.mesh.driver.teeth, pair.mesh.driven.teeth
            if pair.driven.node.word == "arbor" or not all(counted):
                continue
            turned, reverses = driver.per_hour, pair.mesh.reverses
            per_hour = None if turned is None else turned * (counted[0] or 0) / (counted[1] or 1)
            sense = opposite(driver.sense) if driver.sense and reverses else driver.sense
            found[pair.driven.path] = driven._replace(
                per_hour=driven.per_hour if driven.per_hour is not None else per_hour,
                sense=driven.sense or (sense if reverses is not None else None),
                figure=driven.figure or driver.figure,
            )
    return found


def _of(arbor: Arbor, run: Run, figures: Figures) -> Turning:
    id = f"{arbor.path}.turns_per_{run.by or 'hour'}"
    turns = number(figures.get(id))
    if turns is not None and run.by:
        turns = turns * 3600 / run.seconds if run.seconds else None
    told = figures.get(f"{arbor.path}.sense")
    sense: Sense | None = None
    if told is not None and told.value in ("clockwise", "anticlockwise"):
        sense = "clockwise" if told.value == "clockwise" else "anticlockwise"
    return Turning(turns, sense, id if id in figures else "")


def number(figure: Figure | None) -> float | None:
    """The value of a figure as a number; None where it waits or is a word."""
    value = figure.value if figure is not None else None
    return float(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else None
