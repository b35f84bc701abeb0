"""What changed between two versions as a document for paper, worded in `templates/manual/compared.xml.j2`."""

from __future__ import annotations

from countwheel.compare.facts import Change
from countwheel.compare.versions import Comparison, Shift
from countwheel.emit.clean import printable_text
from countwheel.emit.document import Block, Document
from countwheel.emit.markup import read_blocks
from countwheel.emit.paper import paper
from countwheel.emit.templating import environment, wording
from countwheel.figures.rounding import significant
from countwheel.model.clock import Clock

# The kinds of change, in the order that a keeper asks for them.
_KINDS = ("changed", "added", "removed", "renamed", "moved", "surer", "less sure", "known otherwise")


def build_compared(clock: Clock, before: str, after: str, found: Comparison) -> Document:
    """The paper of a comparison: its clock is the later one, `before` and `after` name the two versions.

    Raises `MarkupError` or a jinja2 error only for a fault of a template of ours.
    """
    template = environment().get_template("compared.xml.j2")
    words = wording("COMPARED")

    def blocks(part: str, **given: object) -> tuple[Block, ...]:
        xml = template.render(part=part, found=found, before=before, after=after, **given)
        return read_blocks(printable_text(xml), {}, template.name or "")

    kinds = [(kind, _of_kind(found, kind)) for kind in _KINDS]
    figures = [(title, tuple(shift for shift in found.figures if shift.beyond is beyond))
               for title, beyond in (("beyond", True), ("within", False))]  # fmt: skip
    made: list[tuple[str, tuple[Block, ...]]] = []
    if found.missed or found.kept:
        made.append(("expected", blocks("expected")))
    made += [(kind, blocks("facts", changes=several, kind=kind)) for kind, several in kinds if several]
    made += [
        (name, blocks("figures", shifts=shifts, difference=_difference)) for name, shifts in figures if shifts
    ]
    chapters = ((f"compared-{at}", words[name], inside) for at, (name, inside) in enumerate(made, 1))
    return paper(clock, words, blocks("front"), chapters)


def _of_kind(found: Comparison, kind: str) -> tuple[Change, ...]:
    return tuple(change for change in found.facts if change.kind == kind)


def _difference(shift: Shift) -> str:
    """With its sign; two digits where either side is uncertain, as more would mean nothing. '' where there is none."""
    if shift.difference is None:
        return ""
    digits = 2 if "±" in shift.before + shift.after else 6 if shift.difference.is_integer() else 3
    text = significant(shift.difference, digits)
    return text if shift.difference <= 0 else f"+{text}"
