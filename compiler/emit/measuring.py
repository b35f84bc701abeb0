"""The measuring list as a document for paper: by where the keeper stands, with room to write.

The wording is in `templates/manual/measuring.xml.j2`.
"""

from __future__ import annotations

from collections.abc import Mapping

from countwheel.emit.clean import printable_text
from countwheel.emit.document import Block, Document
from countwheel.emit.gap_rows import row, stands
from countwheel.emit.gaps_text import settles
from countwheel.emit.markup import read_blocks
from countwheel.emit.naming import Names
from countwheel.emit.paper import paper
from countwheel.emit.templating import environment, wording
from countwheel.emit.view import view_of
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock
from countwheel.search.gap import Gaps


def build_measuring(clock: Clock, figures: Mapping[str, Figure], gaps: Gaps) -> Document:
    """One chapter for each place where the keeper stands, the one with the most settling fact first.

    Raises `MarkupError` or a jinja2 error only for a fault of a template of ours.
    """
    names, view = Names(clock), view_of(clock, figures)
    template = environment().get_template("measuring.xml.j2")
    titles = wording("TITLES")

    def blocks(part: str, **given: object) -> tuple[Block, ...]:
        xml = template.render(part=part, clock=view, gaps=gaps, titles=titles, settles=settles, **given)
        return read_blocks(printable_text(xml), {}, template.name or "")

    words = wording("MEASURING")
    made = [(stand.where, blocks("stand", stand=stand)) for stand in stands(gaps, names)]
    rest = [row(gap, names) for gap in gaps.gaps if gap not in gaps.worklist]
    if rest:
        made.append((words["rest"], blocks("rest", rows=rest)))
    numbered = ((f"measuring-{number}", *one) for number, one in enumerate(made, 1))
    return paper(clock, words, blocks("front"), numbered)
