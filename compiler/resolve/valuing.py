"""The value of a line, read by the form that the vocabulary gives its word, and how it is known."""

from __future__ import annotations

import re
from typing import get_args

from countwheel.diagnostics.record import Diagnostic, Edit
from countwheel.diagnostics.registry import say
from countwheel.diagnostics.suggest import nearest
from countwheel.forms import Part, pattern
from countwheel.model.values import UNSTATED, AnyValue, Evidence, How, Unknown, Words
from countwheel.resolve.builder import needed_parts, parts_of, value_parts
from countwheel.resolve.matching import Attempt, Reading, ways
from countwheel.resolve.read_dates import check_date
from countwheel.resolve.tolerances import with_default
from countwheel.source import Source, Span
from countwheel.syntax.tree import Item, Line
from countwheel.vocabulary import Entry

_KNOWN_HOW = [how for how in get_args(How) if how not in ("deduced", "unstated")]
_KNOWN_HOW += ["lost", "perhaps", "doubted"]


class Valuer:
    """Reads values and evidence. Faults go to `report`; what cannot be read becomes an unknown."""

    def __init__(self, report: list[Diagnostic]) -> None:
        self.report = report
        self.source = Source("", "")

    def values(
        self, line: Line, items: list[Item], entry: Entry, evidence: Evidence, alternatives: bool
    ) -> dict[str, AnyValue]:
        """The parts of a line's value by name; faults go to the report, and an unknown stands in.

        `alternatives` says that further values of the fact stand under the line, so that it may lack its own.
        """
        elements = pattern(entry.takes)
        attempt = Attempt(self.source, items, entry.word if entry.fixed else "this line", line.end)
        best = -1
        for after, reading in ways(attempt, elements, 0):
            if after == len(items):
                return self._accepted(reading, entry, evidence)
            best = max(best, after)
        nameless = any(isinstance(e, Part) and e.kind in ("name", "names") for e in elements)
        if len(items) == 1 and items[0].kind == "unknown" and not nameless:
            # `?` stands for any value, also for one of several parts (`jack ?`) or of none (`rating nut ?`).
            return {part: self._not_known(items[0]) for part in value_parts(entry) or ("value",)}
        gone: dict[str, AnyValue] = (
            {part: self._lost(line) for part in needed_parts(entry)} if evidence.lost else {}
        )
        if gone and not items:
            return gone
        if alternatives or gone:
            # `wheel great` with its counts below: the label is read, the value comes from the first that holds.
            # `wheel great lost`: what it was cannot be counted any more.
            bare = tuple(
                e for e in elements if not (isinstance(e, Part) and e.kind not in ("name", "names", "choice"))
            )
            for after, reading in ways(attempt, bare, 0):
                if after == len(items):
                    return ({} if alternatives else gone) | self._accepted(reading, entry, evidence)
        self.report.append(self._why_not(attempt, entry, best, line))
        # A label that could be read is kept, so that what refers to the part still finds it.
        label = next((p.name for p in parts_of(entry) if p.kind in ("name", "names")), None)
        values: dict[str, AnyValue] = {
            part: self.stand_in(line) for part in needed_parts(entry) if part != label
        }
        if label and items and items[0].kind in ("word", "text"):
            values[label] = Words(
                written=items[0].text, span=self.source.span(items[0].start, items[0].end), text=items[0].text
            )
        return values

    def _accepted(self, reading: Reading, entry: Entry, evidence: Evidence) -> dict[str, AnyValue]:
        self.report.extend(reading.report)
        return {
            name: with_default(
                value.model_copy(update={"evidence": evidence}) if evidence is not UNSTATED else value,
                entry.word,
            )
            for name, value in reading.values.items()
        }

    def _why_not(self, attempt: Attempt, entry: Entry, best: int, line: Line) -> Diagnostic:
        """The one message for a value that could not be read: the most telling of the faults farthest along."""
        hints: tuple[str, ...] = (f"write it like this: {entry.example}",) if entry.example else ()
        over = best > 0 and bool(entry.takes)  # a whole value was read, and something stands behind it
        nearly = self._nearly_evidence(attempt.items[best]) if over else None
        if nearly is not None:
            return nearly
        worst = attempt.worst
        diagnostic = worst[2]() if worst is not None and (worst[0] >= best or worst[1] >= 2) else None
        if diagnostic and over and diagnostic.code == "M206" and not diagnostic.edits:
            diagnostic = None  # not a choice misspelt, but something else: it is left over
        if worst is not None and diagnostic is not None:
            telling = worst[1]
            fresh = tuple(hint for hint in hints if telling < 2)
            if best == 0 and not pattern(entry.takes):
                fresh = ()
            return say(
                diagnostic.code,
                diagnostic.span,
                diagnostic.message,
                label=diagnostic.label,
                others=diagnostic.others,
                hints=diagnostic.hints + fresh,
                edits=diagnostic.edits,
            )
        first = attempt.items[max(best, 0)]
        span = self.source.span(first.start, attempt.items[-1].end)
        extra = self.source.text[span.start : span.end]
        label = "too much"
        message = (
            f"`{extra}` is left over behind `{entry.word}`."
            if entry.fixed
            else f"`{extra}` cannot be read here."
        )
        if not entry.takes:
            message = f"`{entry.word}` stands alone and takes no value."
        return say("M207", span, message, label=label, hints=hints)

    def _nearly_evidence(self, item: Item) -> Diagnostic | None:
        """The message where what is left over was to say how the value is known, and is not quite that."""
        if item.kind != "word":
            return None
        span = self.source.span(item.start, item.end)
        if item.text in ("on", "by", "from"):
            return say(
                "M211",
                span,
                f"`{item.text}` stands behind the word that says how a value is known, and there is none.",
                label="how is it known?",
                hints=(f"write for example `measured {item.text}`, or `told`, `copied`, `counted`",),
            )
        near = nearest(item.text.lower(), _KNOWN_HOW)
        if not near:
            return None
        return say(
            "M207",
            span,
            f"`{item.text}` is not one of the words that say how a value is known.",
            label="not known",
            hints=(f"write {near[0]}",),
            edits=(Edit(span, near[0], f"write {near[0]}"),),
        )

    def _not_known(self, item: Item) -> Unknown:
        return Unknown(written=item.text, span=self.source.span(item.start, item.end))

    def _lost(self, line: Line) -> Unknown:
        clause = next(clause for clause in line.clauses if clause.kind == "lost")
        return Unknown(written=clause.text, span=self.source.span(clause.start, clause.end))

    def stand_in(self, line: Line) -> Unknown:
        return Unknown(written=line.content, span=self.source.span(line.start, line.end))

    def evidence(self, line: Line) -> Evidence:
        if not line.clauses:
            return UNSTATED
        found: dict[str, object] = {}
        for clause in line.clauses:
            if clause.kind == "known":
                if "how" in found:
                    span = self.source.span(clause.start, clause.end)
                    self.report.append(
                        say(
                            "M211",
                            span,
                            f"This is already {found['how']}; one word says how a value is known.",
                            label="a second word",
                            hints=("put the other value on a line of its own under the fact",),
                        )
                    )
                found.setdefault("how", clause.text)
            elif clause.kind == "on":
                found["on"] = clause.text
                self._evidence_date(clause.text, self.source.span(clause.end - len(clause.text), clause.end))
            elif clause.kind == "by":
                found["by"] = clause.text
            elif clause.kind == "from":
                found["source"] = clause.text
            elif clause.kind == "doubted":
                found["doubted"] = clause.text or "no reason given"
            else:
                found[clause.kind] = True
        return Evidence(**found)  # type: ignore[arg-type]

    def _evidence_date(self, text: str, span: Span) -> None:
        if not re.fullmatch(r"\d{4}(-\d\d){0,2}", text):
            self.report.append(
                say(
                    "M106",
                    span,
                    f"`{text}` is not a year or a date.",
                    label="a date?",
                    hints=("write 2026-05-02, 1931-07 or 1931",),
                )
            )
            return
        fault = check_date(text, span)
        if fault:
            self.report.append(fault)
