"""The calculation sheets: every figure of a clock with its working, as a content tree for paper.

The wording is in `templates/manual/sheets.xml.j2`. Figures that wait come last, with what they wait for.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import islice

from countwheel.emit.clean import printable_text
from countwheel.emit.document import Block, Document
from countwheel.emit.figure_text import in_numbers, most_doubt, value_text, weakest_fact
from countwheel.emit.markup import read_blocks
from countwheel.emit.naming import Names
from countwheel.emit.paper import paper
from countwheel.emit.templating import environment, wording
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock

#: On paper: three times those of a large clock, with their working some hundred pages. The pages of more would
#: fill the memory of a small machine.
MOST_FIGURES = 1500


def build_sheets(clock: Clock, figures: Mapping[str, Figure]) -> Document:
    """One chapter for each train and part, one section a figure, in the order they rest on one another.

    Raises `MarkupError` or a jinja2 error only for a fault of a template of ours.
    """
    names = Names(clock)
    every, figures = len(figures), dict(islice(figures.items(), MOST_FIGURES))
    facts = {one.path: one for figure in figures.values() for one in figure.inputs}
    numbers = {path: number for number, path in enumerate(facts, 1)}
    template = environment().get_template("sheets.xml.j2")

    print_with = {
        "value_text": value_text,
        "in_numbers": in_numbers,
        "most_doubt": most_doubt,
        "weakest_fact": weakest_fact,
        "rests_on": lambda figure: _rests_on(figure, numbers),
    }

    def blocks(part: str, **given: object) -> tuple[Block, ...]:
        xml = template.render(part=part, names=names, **print_with, **given)
        return read_blocks(printable_text(xml), {}, template.name or "")

    parts: dict[str, list[Figure]] = {}
    for figure in figures.values():
        if figure.value is not None:
            parts.setdefault(figure.id.partition(".")[0], []).append(figure)
    waiting = [figure for figure in figures.values() if figure.value is None]
    made = [
        (part, names.owner(part), blocks("figures", owner=part, figures=of)) for part, of in parts.items()
    ]
    words = wording("SHEETS")
    if waiting:
        made.append(("waiting", words["waiting"], blocks("waiting", figures=waiting)))
    if facts:
        made.append(("facts", words["facts"], blocks("facts", facts=facts.values())))
    named = ((f"sheets-{id}", title, inside) for id, title, inside in made)
    hammers = any(train.node.get("hammer") for train in clock.trains)
    return paper(
        clock, words, blocks("front", hammers=hammers, printed=len(figures), every=every), named, dense=True
    )


_NAMED = 4  # of more facts than this the numbers are given


def _rests_on(figure: Figure, numbers: Mapping[str, int]) -> tuple[str, bool]:
    """The facts that a figure was worked out from, and whether these are their numbers: `('3, 8–14', True)`."""
    paths = dict.fromkeys(one.path for one in figure.inputs)
    if len(paths) <= _NAMED:
        return "; ".join(paths), False
    return ", ".join(_runs(sorted(numbers[path] for path in paths))), True


def _runs(numbers: Sequence[int]) -> Iterator[str]:
    """Rising numbers, those in a row drawn together: '3', '8–14'."""
    first = 0
    for at, number in enumerate(numbers):
        if at + 1 == len(numbers) or numbers[at + 1] != number + 1:
            yield str(number) if first == at else f"{numbers[first]}–{number}"
            first = at + 1
