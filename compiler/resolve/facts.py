"""From lines to facts: each line's word is found in the vocabulary, its value read, its facts hung under it.

A fault costs one message. What merely follows from a fault is not reported,
and what was stated is not then missed.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from countwheel import vocabulary
from countwheel.diagnostics.record import Diagnostic, Label
from countwheel.diagnostics.registry import say
from countwheel.model.node import Node, slug
from countwheel.model.values import Absent, AnyValue, Evidence, Words
from countwheel.resolve import events
from countwheel.resolve.builder import (
    OWN_NAMES,
    ROOT,
    Builder,
    called,
    needed_parts,
    parts_of,
    path_of,
    value_parts,
)
from countwheel.resolve.finding import Finder
from countwheel.resolve.valuing import Valuer
from countwheel.resolve.wanting import wanted
from countwheel.source import Source, Span
from countwheel.syntax.tree import Line
from countwheel.vocabulary import Entry


def _is_include(line: Line) -> bool:
    """Whether a line that begins with `include` is one that can be followed."""
    return not line.broken and len(line.items) == 2 and line.items[1].kind in ("text", "block")


class Facts:
    """Reads the lines of all files of one description into one tree of facts. Never raises."""

    def __init__(self, sources: dict[str, Source], report: list[Diagnostic]) -> None:
        self.sources = sources
        self.report = report
        self.words = vocabulary.load()
        self.finder = Finder(self.words, report)
        self.valuer = Valuer(report)
        self.source = Source("", "")
        self.quiet: set[tuple[str, int]] = set()  # lines whose odd depth is told of with the line above them
        self._doubling: Builder | None = None  # the owner of the fact before, where that was stated twice

    def read(self, lines: list[Line], source: Source, root: Builder) -> None:
        self.source = self.finder.source = self.valuer.source = source
        for line in lines:
            self._line(line, root)
        if self.quiet:
            kept = [
                one
                for one in self.report
                if one.code != "M102" or (one.span.file, one.span.end) not in self.quiet
            ]
            self.report[:] = kept

    def root(self, source: Source) -> Builder:
        return Builder(ROOT, "", None, "", source.span(0, 0), source.span(0, 0))

    def _line(self, line: Line, owner: Builder) -> Builder | None:
        """Reads a line and all under it; returns the fact that it makes, the first of several."""
        found = self.finder.find(line, owner)
        if found is None:
            return None
        entry, home, used, written = found
        spelt = line.items[0].text.lower() if line.items else ""
        if written.lower().startswith("no ") and not line.broken:
            return self._absent(line, entry, home, used, written)
        items = line.items[used:]
        if used and items and items[0].kind == "comma":
            items = items[1:]
        words = line.items[:used]
        first = words[0] if words else (line.items[0] if line.items else None)
        word_span = (
            self.source.span(first.start, words[-1].end if words else first.end)
            if first
            else self._whole(line)
        )
        builder = Builder(entry, "", line, written or entry.word, self._whole(line), word_span, parent=home)
        builder.moved = home is not owner
        if builder.moved:  # the depth of what stands under it follows from its own
            self.quiet.update((self.source.file, child.start) for child in line.children if child.odd)
        evidence = builder.evidence = self.valuer.evidence(line)
        alternatives = {child for child in line.children if self._is_alternative(child, entry)}
        if entry.word == "include" and (owner is not home or spelt != "include" or not _is_include(line)):
            self.finder.damaged.add("*")  # not read as it stands, so that a whole file is not known
        if line.broken:
            builder.values = {part: self.valuer.stand_in(line) for part in needed_parts(entry)}
        else:
            builder.values = self.valuer.values(line, items, entry, evidence, bool(alternatives))
        # Every dial of `dial north, east` gets the facts under it; faults are told once.
        made = [self._hang(builder, label, home) for label in self._labels(builder)]
        for index, fact in enumerate(made):
            quiet = len(self.report)
            self._children(line, fact, alternatives)
            if index:
                del self.report[quiet:]
        return made[0]

    def _children(self, line: Line, builder: Builder, alternatives: set[Line]) -> None:
        beside: Builder | None = None  # a fact moved farther out, with lines of its own that stand beside it
        for child in self._rejoined(line.children, builder):
            if child in alternatives:
                self._alternative(child, builder)
            elif beside is not None and self.finder.fits(child, beside.entry.block):
                self._line(child, beside)
            elif (home := self.finder.slid_out(child, builder)) is not None:
                for one in (replace(child, children=[]), *child.children):
                    self._line(one, home)
            else:
                made = self._line(child, builder)
                beside = made if made is not None and made.moved and not child.children else None

    def _rejoined(self, lines: list[Line], owner: Builder) -> list[Line]:
        """The lines under `owner`, those behind one at an odd depth put under that where they were so written."""
        if not any(line.odd for line in lines):
            return lines
        kept: list[Line] = []
        outer: Line | None = None
        for index, line in enumerate(lines):
            if outer is not None and not line.odd:
                outer.children.append(line)
            else:
                has_more = line.odd and self._has_more(lines, index, owner)
                outer = replace(line, children=list(line.children)) if has_more else None
                kept.append(outer or line)
        return kept

    def _has_more(self, lines: list[Line], index: int, owner: Builder) -> bool:
        """Whether the lines behind an odd one belong under it: where it belongs farther out, or one fits only it."""
        line = lines[index]
        if self.finder.belongs_farther_out(line, owner) is not None:
            return True
        own = self.finder.word_of(line, owner) if not line.children else None
        for at in range(index + 1, len(lines) if own else 0):
            if lines[at].odd:
                return False
            fits_owner = self.finder.fits(lines[at], owner.entry.block)
            if own is not None and not fits_owner and self.finder.fits(lines[at], own.block):
                return True
        return False

    def _hang(self, builder: Builder, label: str | None, home: Builder) -> Builder:
        fact = Builder(
            builder.entry,
            path_of(builder.entry, label, home),
            builder.line,
            builder.written,
            builder.span,
            builder.word_span,
            label,
            dict(builder.values),
            builder.evidence,
            home,
        )
        fact.moved = builder.moved
        self._twice(fact, home)
        home.add(fact)
        return fact

    def _labels(self, builder: Builder) -> list[str | None]:
        value = builder.values.get("name")
        if not builder.entry.label or not isinstance(value, Words):
            return [None]
        if not any(part.kind == "names" for part in parts_of(builder.entry)):
            return [value.text]
        names = [name.strip() for name in value.text.split(",")]
        unique: list[str | None] = list(dict.fromkeys(names))
        if len(unique) < len(names):
            twice = next(name for name, times in Counter(names).items() if times > 1)
            self.report.append(
                say(
                    "M401",
                    value.span,
                    f"`{twice}` is named twice in this line.",
                    label="the same name again",
                    hints=(f"name each {builder.entry.word} once",),
                )
            )
        return unique

    def _twice(self, fact: Builder, home: Builder) -> None:
        entry = fact.entry
        denied = (home.some if fact.is_denied else home.none).get(entry.word)
        if denied is not None:
            self.report.append(
                say(
                    "M203",
                    fact.word_span,
                    f"`{entry.word}` is both stated and said not to be there.",
                    label="this",
                    others=(Label(denied.word_span, "and this"),),
                    hints=("keep the line that is true",),
                )
            )
            return
        if entry.many and not entry.label:
            return
        earlier = home.named.get((entry.word, (fact.label or "").lower()))
        if earlier is None or (fact.line is not None and fact.line.broken):
            self._doubling = None if self._doubling is home else self._doubling
            return
        follows, self._doubling = self._doubling is home, home
        if entry.label and entry.many:
            self.finder.damage(fact)
        if follows:
            return  # of a run of facts stated again the first is told: it may be the line above them that is missing
        owner = f" of {called(home)}" if home.parent else ""
        if entry.label and entry.many:
            what = f"{entry.word} {fact.label}" if fact.label else f"a {entry.word} without a name"
            hint = "give one of them another name"
            if entry.word in ("wheel", "pinion"):
                hint = (
                    f"give each its own name (`{entry.word} great 144`), "
                    "unless an `arbor` line is missing between them"
                )
            self.report.append(
                say(
                    "M401",
                    fact.word_span,
                    f"There is already {what}{owner}.",
                    label="the second",
                    others=(Label(earlier.word_span, "the first"),),
                    hints=(hint,),
                )
            )
        else:
            self.report.append(
                say(
                    "M203",
                    fact.word_span,
                    f"`{entry.word}`{owner} is stated twice.",
                    label="stated again",
                    others=(Label(earlier.word_span, "stated here first"),),
                    hints=(
                        f"keep one line, or put both values under one `{entry.word}`, each with how it is known",
                    ),
                )
            )

    def _names_taken(self, owner: Builder) -> None:
        """A part that is named by its label alone must not be called as another fact beside it is."""
        words = {slug(fact.entry.word) for fact in owner.facts if fact.label is None}
        for fact in owner.facts:
            if fact.label and fact.entry.word in OWN_NAMES and slug(fact.label) in words:
                self.report.append(
                    say(
                        "M401",
                        fact.word_span,
                        f"`{fact.label}` is itself a fact of {called(owner)}, so the {fact.entry.word} "
                        "cannot be called that.",
                        label="a name that is taken",
                        hints=(f"give the {fact.entry.word} another name",),
                    )
                )

    def _absent(self, line: Line, entry: Entry, home: Builder, used: int, written: str) -> Builder:
        words = self.source.span(line.items[0].start, line.items[used - 1].end)
        builder = Builder(entry, "", line, written, self._whole(line), words, parent=home)
        builder.values = {"value": Absent(written=written, span=words)}
        builder.evidence = self.valuer.evidence(line)
        if len(line.items) > used:
            rest = self.source.span(line.items[used].start, line.items[-1].end)
            self.report.append(
                say("M207", rest, f"Behind `{written}` nothing more is needed.", label="too much")
            )
        fact = self._hang(builder, None, home)
        for child in line.children:
            self._line(child, fact)
        return fact

    def _is_alternative(self, child: Line, entry: Entry) -> bool:
        """Whether a line under a fact is one more value of that fact and not a fact of its own."""
        if not child.items or child.items[0].kind in ("word", "comma"):
            return False
        kinds = {part.name: part.kind for part in parts_of(entry)}
        main = kinds[value_parts(entry)[0]] if entry.fixed and value_parts(entry) else ""
        first = child.items[0].kind
        if main in ("text", "words"):
            return first in ("text", "block", "unknown")
        if main == "date":
            return first in ("date", "number", "unknown")
        return bool(main) and first in ("number", "measure", "range", "unknown", "tolerance")

    def _alternative(self, child: Line, builder: Builder) -> None:
        fact = Builder(
            builder.entry,
            builder.path,
            child,
            builder.written,
            self._whole(child),
            self._whole(child),
            builder.label,
            parent=builder,
        )
        fact.evidence = self.valuer.evidence(child)
        fact.values = (
            self.valuer.values(child, child.items, builder.entry, fact.evidence, False)
            if not child.broken
            else {part: self.valuer.stand_in(child) for part in needed_parts(builder.entry)}
        )
        builder.others.append(fact)
        for grandchild in child.children:
            self._line(grandchild, builder)

    def freeze(self, builder: Builder) -> Node:
        """The finished fact, its own facts first; says what is wanted and not stated."""
        wanted(builder, self.words, self.finder.misplaced, self.report)
        self._names_taken(builder)
        facts: list[Node] = []
        for fact in builder.facts:
            if fact.entry.word == "<entry>" and fact.line is not None:
                facts.append(events.entry(self, fact))
            else:
                facts.append(self.freeze(fact))
        recorded = self._recorded(builder)
        held = next((fact for fact in recorded if not fact.evidence.doubted), recorded[0])
        return self._node(
            builder,
            builder.values | held.values,
            held.evidence,
            tuple(facts),
            tuple(self._node(fact, fact.values, fact.evidence) for fact in recorded if fact is not held),
        )

    @staticmethod
    def _recorded(builder: Builder) -> list[Builder]:
        """The values of a fact in the order written, each as a fact: that of its own line and those below it."""
        if not builder.others:
            return [builder]
        parts = {name for other in builder.others for name in other.values}
        own = {name: value for name, value in builder.values.items() if name in parts}
        return [replace(builder, values=own), *builder.others] if own else builder.others

    @staticmethod
    def _node(
        builder: Builder,
        values: dict[str, AnyValue],
        evidence: Evidence,
        facts: tuple[Node, ...] = (),
        others: tuple[Node, ...] = (),
    ) -> Node:
        return Node(
            word=builder.entry.word,
            written=builder.written,
            path=builder.path,
            span=builder.span,
            word_span=builder.word_span,
            label=builder.label,
            values=values,
            evidence=evidence,
            facts=facts,
            others=others,
        )

    def _whole(self, line: Line) -> Span:
        return self.source.span(line.start, line.end)
