"""What the manual rests on: the source of each figure that it prints, and the papers and people behind the facts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass

from countwheel.emit.naming import Names
from countwheel.emit.shown import ShownFigure
from countwheel.emit.stated import evidence
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock
from countwheel.model.values import Evidence


@dataclass(frozen=True, slots=True)
class FigureSource:
    """One source, with the titles of the figures that were worked out by it, each once."""

    text: str
    titles: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Witness:
    """A paper, or a person by name or initials, with how many recorded values rest on them."""

    name: str
    number: int


@dataclass(frozen=True, slots=True)
class Sources:
    figures: tuple[FigureSource, ...]
    papers: tuple[Witness, ...]
    people: tuple[Witness, ...]


def sources_of(clock: Clock, figures: Mapping[str, Figure], shown: Iterable[str], names: Names) -> Sources:
    """The sources of the figures with the ids `shown`, and the description's own; nothing twice."""
    titles: dict[str, dict[str, None]] = {}
    for id in sorted(set(shown)):
        figure = figures.get(id)
        if figure is not None and figure.value is not None:
            title = names.in_text(figure.title, id.partition(".")[0])
            titles.setdefault(figure.source, {})[title] = None
    said = list(_evidence(clock))
    return Sources(
        tuple(FigureSource(text, tuple(titles[text])) for text in sorted(titles, key=str.casefold)),
        _witnesses(one.source for one in said),
        _witnesses(one.by for one in said),
    )


def figures_in(part: object) -> Iterator[str]:
    """The ids of all figures that a view holds anywhere, its own table of every figure left aside."""
    if isinstance(part, ShownFigure):
        yield part.id
    elif isinstance(part, tuple):
        for one in part:
            yield from figures_in(one)
    elif is_dataclass(part) and not isinstance(part, type):
        for field in fields(part):
            yield from figures_in(getattr(part, field.name))


def _evidence(clock: Clock) -> Iterator[Evidence]:
    for node in clock.root.walk():
        for one in (node, *node.others):
            yield evidence(one)


def _witnesses(names: Iterable[str | None]) -> tuple[Witness, ...]:
    """Each with how often it was named, the most often first."""
    found = Counter(name for name in names if name)
    return tuple(
        Witness(name, number) for name, number in sorted(found.items(), key=lambda one: (-one[1], one[0]))
    )
