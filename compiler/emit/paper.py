"""A paper that is handed out beside the manual: measuring list, evidence register, sheets, orders for wheels."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from countwheel.emit.clean import first_capital, printable_text
from countwheel.emit.document import Block, Chapter, Document, Labels
from countwheel.emit.templating import wording
from countwheel.model.clock import Clock


def paper(
    clock: Clock,
    words: Mapping[str, str],
    front: tuple[Block, ...],
    made: Iterable[tuple[str, str, tuple[Block, ...]]],
    dense: bool = False,
    paged: bool = False,
) -> Document:
    """The document of a clock under the `subtitle` of its words, with a chapter for each id, title and blocks."""
    name = printable_text(clock.name)
    return Document(
        title=name,
        subtitle=words["subtitle"],
        author=name,
        running=f"{name} – {words['subtitle']}",
        front=front,
        chapters=tuple(
            Chapter(id, number, first_capital(title), inside)
            for number, (id, title, inside) in enumerate(made, 1)
        ),
        labels=Labels(**wording("LABELS")),
        dense=dense,
        paged=paged,
    )
