"""From lines to facts: each line's word is found in the vocabulary, its value read, its facts hung under it.

A fault costs one message. A misspelt word is read as the word it is nearest
to; a line at the wrong depth is hung where its word belongs; a value that
cannot be becomes an unknown. So nothing that merely follows from a fault is
reported, and what was stated is not then missed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from countwheel import vocabulary
from countwheel.diagnostics.record import Diagnostic, Edit, Label
from countwheel.diagnostics.registry import say
from countwheel.diagnostics.suggest import nearest
from countwheel.model.node import Node
from countwheel.model.values import Absent, AnyValue, Evidence, Moment, Quantity, Number, Unknown, Words, UNSTATED
from countwheel.resolve import events
from countwheel.resolve.patterns import Attempt, Maybe, Part, Reading, form, pattern, ways
from countwheel.resolve.readers import check_date
from countwheel.resolve.tolerances import with_default
from countwheel.source import Source, Span
from countwheel.syntax.tree import Item, Line
from countwheel.vocabulary import Entry

ROOT = Entry(("",), "movement", "", "", False, False, "movement", "", "the description", ())
# A label alone names these; of all others word and label together do: `dial.north`, but `going.centre`.
_OWN_NAMES = ("train", "arbor", "wheel", "pinion", "shaft", "loose wheel", "loose weight", "pulley", "hammer")


@dataclass(slots=True)
class Builder:
    """A fact being put together. `missing` is True where its line could not be read."""

    entry: Entry
    path: str
    line: Line | None
    written: str
    span: Span
    word_span: Span
    label: str | None = None
    values: dict[str, AnyValue] = field(default_factory=dict)
    evidence: Evidence = UNSTATED
    parent: Builder | None = None
    facts: list[Builder] = field(default_factory=list)
    others: list[Builder] = field(default_factory=list)

    @property
    def last(self) -> Builder | None:
        return self.facts[-1] if self.facts else None


class Facts:
    """Reads the lines of all files of one description into one tree of facts. Never raises."""

    def __init__(self, sources: dict[str, Source]) -> None:
        self.sources = sources
        self.words = vocabulary.load()
        self.report: list[Diagnostic] = []
        self.misplaced: set[str] = set()
        # Trains in which a line had to be left out or stands twice, so that what their wheels do is in
        # doubt; `*` where it cannot be said which train it belonged to.
        self.damaged: set[str] = set()
        self._run: tuple[Builder, frozenset[str], Builder | None] | None = None
        self.source = Source("", "")

    # -- the tree ---------------------------------------------------------------

    def read(self, lines: list[Line], source: Source, root: Builder) -> None:
        self.source = source
        for line in lines:
            self._line(line, root)

    def root(self, source: Source) -> Builder:
        return Builder(ROOT, "", None, "", source.span(0, 0), source.span(0, 0))

    def _line(self, line: Line, owner: Builder) -> None:
        found = self._find(line, owner)
        if found is None:
            return
        entry, home, used, written = found
        if written.startswith("no ") and not line.broken:
            self._absent(line, entry, home, used, written)
            return
        items = line.items[used:]
        if used and items and items[0].kind == "comma":
            items = items[1:]
        words = line.items[:used]
        first = words[0] if words else (line.items[0] if line.items else None)
        word_span = self.source.span(first.start, words[-1].end if words else first.end) if first else self._whole(line)
        builder = Builder(entry, "", line, written or entry.word, self._whole(line), word_span, parent=home)
        builder.evidence = self._evidence(line)
        alternatives = [child for child in line.children if self._is_alternative(child, entry)]
        if line.broken:
            builder.values = {part: self._stand_in(line) for part in _value_parts(entry)[:1]}
        else:
            builder.values = self._values(line, items, entry, bool(alternatives))
        for label in self._labels(builder):
            self._hang(builder, label, home)
        # Every dial of `dial north, east` gets the facts under it; faults are told once.
        made = [fact for fact in home.facts if fact.line is line]
        for index, fact in enumerate(made):
            quiet = len(self.report)
            self._children(line, fact, alternatives)
            if index:
                del self.report[quiet:]

    def _children(self, line: Line, builder: Builder, alternatives: list[Line]) -> None:
        for child in line.children:
            if child in alternatives:
                self._alternative(child, builder)
            else:
                self._line(child, builder)

    def _hang(self, builder: Builder, label: str | None, home: Builder) -> None:
        fact = Builder(
            builder.entry,
            _path(builder.entry, label, home),
            builder.line,
            builder.written,
            builder.span,
            builder.word_span,
            label,
            dict(builder.values),
            builder.evidence,
            home,
        )
        self._twice(fact, home)
        home.facts.append(fact)

    def _labels(self, builder: Builder) -> list[str | None]:
        value = builder.values.get("name")
        if not builder.entry.label or not isinstance(value, Words):
            return [None]
        if any(part.kind == "names" for part in _parts(builder.entry)):
            return [name.strip() for name in value.text.split(",")]
        return [value.text]

    def _twice(self, fact: Builder, home: Builder) -> None:
        entry = fact.entry
        if entry.many and not entry.label:
            return
        earlier = next((f for f in home.facts if f.entry is entry and _same_name(f, fact)), None)
        if earlier is None or (fact.line is not None and fact.line.broken):
            return
        owner = f" of {_called(home)}" if home.parent else ""
        if entry.label and entry.many:
            what = f"{entry.word} {fact.label}" if fact.label else f"a {entry.word} without a name"
            hint = "give one of them another name"
            if entry.word in ("wheel", "pinion"):
                hint = f"give each its own name (`{entry.word} great 144`), unless an `arbor` line is missing between them"
            self._damage(fact)
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
                    hints=(f"keep one line, or put both values under one `{entry.word}`, each with how it is known",),
                )
            )

    # -- which word -------------------------------------------------------------

    def _find(self, line: Line, owner: Builder) -> tuple[Entry, Builder, int, str] | None:
        """The entry a line is about, the fact that owns it, how many items the word takes, and the word as written."""
        block = owner.entry.block
        spelt = _leading_words(line)
        known = self.words.under(block)
        hit = _longest(spelt, known)
        loose = self.words.loose.get(block)
        if hit and not (loose and block == "log"):
            if self._run and self._run[0] is owner:
                self._run = None
            return hit[0], owner, hit[1], " ".join(spelt[: hit[1]])
        if len(spelt) > 1 and spelt[0].lower() == "no":
            denied = _longest(spelt[1:], known)
            if denied:
                return denied[0], owner, denied[1] + 1, " ".join(spelt[: denied[1] + 1])
        if loose and self._fits_loose(line, loose):
            return loose, owner, 0, ""
        if line.broken and not spelt:
            return None
        if not spelt:
            return self._begins_without_word(line, owner)
        return self._not_known(line, owner, spelt)

    def _fits_loose(self, line: Line, entry: Entry) -> bool:
        """Whether a line without a fixed word can be of that kind, by how it begins."""
        if not line.items:
            return False
        first = line.items[0]
        if entry.word == "<entry>":
            return first.kind == "date"
        if entry.word == "<change>":
            return first.kind == "word" and "." in first.text
        lead = pattern(entry.takes)[0]
        if isinstance(lead, Part) and lead.choice:
            return first.text.lower() in self.words.choices[lead.choice]
        return True

    def _begins_without_word(self, line: Line, owner: Builder) -> tuple[Entry, Builder, int, str] | None:
        if line.clauses and not line.items and line.clauses[0].kind == "lost":
            entry = self.words.under(owner.entry.block).get("lost")
            if entry is not None:
                return entry, owner, 0, "lost"
        log = owner.parent if owner.entry.word == "<entry>" else None
        if log is not None and line.items and line.items[0].kind == "date":
            span = self.source.span(line.items[0].start, line.items[0].end)
            self.report.append(
                say(
                    "M102",
                    span,
                    "This line of the log is indented under the entry above it.",
                    label="too deep",
                    hints=(f"indent it by {self._depth_under(log)}, as the other entries",),
                )
            )
            return self.words.loose["log"], log, 0, ""
        if owner.entry.word == "log" and line.items:
            self._say(line, "M703", "A line of the log begins with its date: 2026-05-02 09:00.", line.items[0])
            return None
        first = line.items[0] if line.items else None
        span = self.source.span(first.start, first.end) if first else self._whole(line)
        self.report.append(
            say(
                "M110",
                span,
                "This line begins with a value and does not say what it is the value of.",
                label="the value of what?",
                hints=("begin the line with a word, such as `diameter` or `wheel`",),
            )
        )
        return None

    def _not_known(self, line: Line, owner: Builder, spelt: list[str]) -> tuple[Entry, Builder, int, str] | None:
        """A word that may not stand here: known elsewhere, or misspelt, or neither."""
        elsewhere = self._elsewhere(spelt)
        if line.broken:  # its fault is told; what it was about is taken as stated, wherever that belongs
            self.misplaced.update({elsewhere[0].word} if elsewhere else ())
            return None
        moved = self._where_it_belongs(owner, spelt)
        if moved:
            entry, home, used = moved
            word = " ".join(spelt[:used])
            self.misplaced.add(entry.word)
            if not self._goes_on(owner, frozenset([home.path]), home):
                self._wrong_place(line, entry, word, owner, home)
            return entry, home, used, word
        known = self.words.under(owner.entry.block)
        near = self._near(spelt, known)
        if near and not (elsewhere and near[1] == 1 and len(spelt[0]) <= 4):
            entry, used, spelling = near
            span = self.source.span(line.items[0].start, line.items[used - 1].end)
            self.report.append(
                say(
                    "M201",
                    span,
                    f"`{' '.join(spelt[:used])}` is not a word of {_called(owner)}.",
                    label="not known here",
                    hints=(f"write {spelling}",),
                    edits=(Edit(span, spelling, f"write {spelling}"),),
                )
            )
            return entry, owner, used, spelling
        if line.children or owner.entry.word in ("train", "arbor"):
            self._damage(owner)
        if elsewhere:
            entry, used = elsewhere
            self.misplaced.add(entry.word)
            homes = frozenset(self.words.homes(" ".join(spelt[:used]).lower()))
            if not self._goes_on(owner, homes, None):
                self._wrong_place(line, entry, " ".join(spelt[:used]), owner, None)
            return None
        span = self.source.span(line.items[0].start, line.items[0].end)
        hint = self._what_there_is(owner)
        if self.words.may_own(owner.entry.block) or owner.entry is ROOT:
            self.report.append(
                say("M201", span, f"`{spelt[0]}` is not a word of {_called(owner)}.", label="not known here", hints=hint)
            )
        else:
            self.report.append(
                say(
                    "M208",
                    span,
                    f"`{owner.entry.word}` has no facts of its own, but this line is indented under it.",
                    label="under what?",
                    hints=("put a note in the keeper's own words behind `remark`",),
                )
            )
        return None

    def _goes_on(self, owner: Builder, homes: frozenset[str], home: Builder | None) -> bool:
        """Whether the line before, under the same owner, was out of place in the same way: one fault, told once."""
        before = self._run
        self._run = (owner, homes, home)
        return before is not None and before[0] is owner and bool(before[1] & homes)

    def _damage(self, owner: Builder) -> None:
        above: Builder | None = owner
        while above is not None and above.entry.word != "train":
            above = above.parent
        self.damaged.add(slug(above.label or "") if above else "*")

    def _what_there_is(self, owner: Builder) -> tuple[str, ...]:
        known = list(dict.fromkeys(entry.word for entry in self.words.under(owner.entry.block).values()))
        shown = ", ".join(known[:14]) + (" ..." if len(known) > 14 else "")
        name = "words" if owner.entry is ROOT else f"words {owner.entry.block}"
        return (f"there are: {shown}", f"`countwheel {name}` lists them all with what they mean")

    def _near(self, spelt: list[str], known: dict[str, Entry]) -> tuple[Entry, int, str] | None:
        """The nearest spelling among the words that may stand here, trying the longest run first."""
        most = max((len(spelling.split()) for spelling in known), default=1)
        for used in range(min(most, len(spelt)), 0, -1):
            alike = [spelling for spelling in known if len(spelling.split()) == used]
            near = nearest(" ".join(spelt[:used]).lower(), alike)
            if near:
                return known[near[0]], used, near[0]
        joined = nearest(spelt[0].lower(), [s for s in known if " " in s])
        return (known[joined[0]], 1, joined[0]) if joined else None

    def _elsewhere(self, spelt: list[str]) -> tuple[Entry, int] | None:
        for used in range(min(4, len(spelt)), 0, -1):
            spelling = " ".join(spelt[:used]).lower()
            homes = self.words.homes(spelling)
            if homes:
                return self.words.owners[homes[0]][spelling], used
        return None

    def _where_it_belongs(self, owner: Builder, spelt: list[str]) -> tuple[Entry, Builder, int] | None:
        """An open fact that may own the word: one above (indented too far) or the last one below (not far enough)."""
        # What follows a line that was moved goes where that one went, or under it.
        moved = self._run[2] if self._run and self._run[0] is owner else None
        followed = moved.last if moved else None
        for home in (followed, moved):
            hit = _longest(spelt, self.words.owners.get(home.entry.block, {})) if home else None
            if hit and home:
                return hit[0], home, hit[1]
        above = owner.parent
        while above is not None:
            hit = _longest(spelt, self.words.owners.get(above.entry.block, {}))
            if hit:
                return hit[0], above, hit[1]
            above = above.parent
        below = owner.last
        while below is not None:
            hit = _longest(spelt, self.words.owners.get(below.entry.block, {}))
            if hit:
                return hit[0], below, hit[1]
            below = below.last
        return None

    def _wrong_place(self, line: Line, entry: Entry, word: str, owner: Builder, home: Builder | None) -> None:
        span = self.source.span(line.items[0].start, line.items[len(word.split()) - 1].end)
        hints: list[str] = []
        others: tuple[Label, ...] = ()
        edits: tuple[Edit, ...] = ()
        if home is not None:
            depth = self._depth_under(home)
            what = _called(home)
            hints.append(f"it seems to belong to {what}: indent it by {depth}")
            if home.line is not None:
                others = (Label(home.word_span, f"{what} is here"),)
            margin = self.source.span(line.start - line.indent, line.start)
            if self.source.text[margin.start : margin.end].strip(" ") == "":
                edits = (Edit(margin, " " * depth, f"indent by {depth}"),)
        else:
            homes = [name if name != "movement" else "the file itself" for name in self.words.homes(word.lower())]
            hints.append(f"`{word}` may stand under: {', '.join(dict.fromkeys(homes))}")
        self.report.append(
            say(
                "M202",
                span,
                f"`{word}` is not a word of {_called(owner)}.",
                label="not in this place",
                others=others,
                hints=tuple(hints),
                edits=edits,
            )
        )

    @staticmethod
    def _depth_under(home: Builder) -> int:
        placed = next((fact.line for fact in home.facts if fact.line is not None), None)
        if placed is not None:
            return placed.indent
        return home.line.indent + 2 if home.line is not None else 0

    # -- the value --------------------------------------------------------------

    def _values(self, line: Line, items: list[Item], entry: Entry, alternatives: bool) -> dict[str, AnyValue]:
        elements = pattern(entry.takes)
        attempt = Attempt(self.source, items, entry.word if entry.fixed else "this line", line.end)
        best = -1
        for after, reading in ways(attempt, elements, 0):
            if after == len(items):
                return self._accepted(reading, line, entry)
            best = max(best, after)
        if alternatives:
            # `wheel great` with its counts below: the label is read, the value comes from the first that holds.
            bare = tuple(e for e in elements if not (isinstance(e, Part) and e.kind not in ("name", "names", "choice")))
            for after, reading in ways(attempt, bare, 0):
                if after == len(items):
                    return self._accepted(reading, line, entry)
        self.report.append(self._why_not(attempt, entry, best, line))
        parts = _value_parts(entry)
        # A label that could be read is kept, so that what refers to the part still finds it.
        label = next((p.name for p in _parts(entry) if p.kind in ("name", "names")), None)
        values: dict[str, AnyValue] = {part: self._stand_in(line) for part in parts[:1] if part != label}
        if label and items and items[0].kind in ("word", "text"):
            values[label] = Words(written=items[0].text, span=self.source.span(items[0].start, items[0].end), text=items[0].text)
        return values

    def _accepted(self, reading: Reading, line: Line, entry: Entry) -> dict[str, AnyValue]:
        self.report.extend(reading.report)
        evidence = self._evidence(line, quiet=True)
        return {
            name: with_default(value.model_copy(update={"evidence": evidence}) if evidence is not UNSTATED else value, entry.word)
            for name, value in reading.values.items()
        }

    def _why_not(self, attempt: Attempt, entry: Entry, best: int, line: Line) -> Diagnostic:
        """The one message for a value that could not be read: the most telling of the faults farthest along."""
        hints: tuple[str, ...] = (f"write it like this: {entry.example}",) if entry.example else ()
        faults = sorted(attempt.faults, key=lambda fault: (fault[0], fault[1]), reverse=True)
        if faults and (faults[0][0] >= best or faults[0][1] >= 2):
            at, telling, diagnostic = faults[0]
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
        message = f"`{extra}` is left over behind `{entry.word}`." if entry.fixed else f"`{extra}` cannot be read here."
        if not entry.takes:
            message = f"`{entry.word}` stands alone and takes no value."
        return say("M207", span, message, label=label, hints=hints)

    def _stand_in(self, line: Line) -> Unknown:
        return Unknown(written=line.content, span=self._whole(line))

    def _absent(self, line: Line, entry: Entry, home: Builder, used: int, written: str) -> None:
        words = self.source.span(line.items[0].start, line.items[used - 1].end)
        builder = Builder(entry, "", line, written, self._whole(line), words, parent=home)
        builder.values = {"value": Absent(written=written, span=words)}
        builder.evidence = self._evidence(line)
        if len(line.items) > used:
            rest = self.source.span(line.items[used].start, line.items[-1].end)
            self.report.append(say("M207", rest, f"Behind `{written}` nothing more is needed.", label="too much"))
        self._hang(builder, None, home)
        for child in line.children:
            self._line(child, home.facts[-1])

    # -- several values of one fact ------------------------------------------------

    def _is_alternative(self, child: Line, entry: Entry) -> bool:
        """Whether a line under a fact is one more value of that fact and not a fact of its own."""
        if not child.items or child.items[0].kind in ("word", "comma"):
            return False
        return entry.fixed and bool(_value_parts(entry))

    def _alternative(self, child: Line, builder: Builder) -> None:
        fact = Builder(builder.entry, builder.path, child, builder.written, self._whole(child), self._whole(child), builder.label, parent=builder)
        fact.evidence = self._evidence(child)
        fact.values = self._values(child, child.items, builder.entry, False) if not child.broken else {}
        builder.others.append(fact)
        for grandchild in child.children:
            self._line(grandchild, builder)

    # -- how it is known -----------------------------------------------------------

    def _evidence(self, line: Line, quiet: bool = False) -> Evidence:
        if not line.clauses:
            return UNSTATED
        found: dict[str, object] = {}
        for clause in line.clauses:
            if clause.kind == "known":
                if "how" in found and not quiet:
                    span = self.source.span(clause.start, clause.end)
                    self.report.append(
                        say("M211", span, f"This is already {found['how']}; one word says how a value is known.", label="a second word", hints=("put the other value on a line of its own under the fact",))
                    )
                found.setdefault("how", clause.text)
            elif clause.kind == "on":
                found["on"] = clause.text
                self._evidence_date(clause.text, self.source.span(clause.end - len(clause.text), clause.end), quiet)
            elif clause.kind == "by":
                found["by"] = clause.text
            elif clause.kind == "from":
                found["source"] = clause.text
            elif clause.kind == "doubted":
                found["doubted"] = clause.text or "no reason given"
            else:
                found[clause.kind] = True
        return Evidence(**found)  # type: ignore[arg-type]

    def _evidence_date(self, text: str, span: Span, quiet: bool) -> None:
        if quiet:
            return
        if not re.fullmatch(r"\d{4}(-\d\d){0,2}", text):
            self.report.append(say("M106", span, f"`{text}` is not a year or a date.", label="a date?", hints=("write 2026-05-02, 1931-07 or 1931",)))
            return
        fault = check_date(text, span)
        if fault:
            self.report.append(fault)

    # -- freezing ------------------------------------------------------------------

    def freeze(self, builder: Builder) -> Node:
        """The finished fact, its own facts first; says what is wanted and not stated."""
        self._wanted(builder)
        facts: list[Node] = []
        for fact in builder.facts:
            if fact.entry.word == "<entry>" and fact.line is not None:
                facts.append(events.entry(self, fact))
            else:
                facts.append(self.freeze(fact))
        held = [fact for fact in builder.others if not fact.evidence.doubted] or builder.others
        values, evidence, others = builder.values, builder.evidence, builder.others
        if held and not any(name in values for name in held[0].values):
            values = values | held[0].values
            evidence = held[0].evidence
            others = [fact for fact in builder.others if fact is not held[0]]
        return Node(
            word=builder.entry.word,
            written=builder.written,
            path=builder.path,
            span=builder.span,
            word_span=builder.word_span,
            label=builder.label,
            values=values,
            evidence=evidence,
            facts=tuple(facts),
            others=tuple(self.freeze(other) for other in others),
        )

    def _wanted(self, builder: Builder) -> None:
        if builder.evidence.lost or any(v.kind in ("unknown", "absent") for v in builder.values.values() if builder.entry.block != "rod"):
            return
        stated = {fact.entry.word for fact in builder.facts}
        if "lost" in stated:
            return
        for entry in dict.fromkeys(self.words.owners.get(builder.entry.block, {}).values()):
            if entry.need not in ("wanted", "must") or entry.word in stated or entry.word in self.misplaced:
                continue
            if builder.entry is ROOT:
                self._no_version(builder)
                continue
            if self._not_needed(entry, builder):
                continue
            self.report.append(
                say(
                    "M210",
                    builder.word_span,
                    f"{_called(builder).capitalize()} has no `{entry.word}`: {entry.meaning}.",
                    label=f"`{entry.word}` is not stated",
                    hints=(f"write for example `{entry.example}`", f"write `{entry.word} ?` where it is not known"),
                )
            )

    @staticmethod
    def _not_needed(entry: Entry, builder: Builder) -> bool:
        """Whether a wanted fact has no meaning here: a clock wound by a motor has no turns of line to count."""
        train = builder.parent.parent if builder.parent else None
        by_motor = train is not None and any(fact.entry.word == "automatic winding" for fact in train.facts)
        if builder.entry.block == "barrel":
            return by_motor and entry.word in ("turns of line", "fall")
        if builder.entry.block == "line":
            return any(fact.entry.word == "girth" for fact in builder.facts)
        if builder.entry.block in ("motion work", "dial motion work"):
            return any(fact.entry.word == "one hand only" for fact in (builder.parent.facts if builder.parent else []))
        return False

    def _no_version(self, builder: Builder) -> None:
        end = self.source.span(0, 0)
        self.report.append(
            say(
                "M006",
                end,
                "The description does not say which version of the language it is written in.",
                label="first line",
                hints=("write `countwheel 1` as the first line",),
                edits=(Edit(end, "countwheel 1\n\n", "write `countwheel 1` as the first line"),),
            )
        )

    # -- small helps ---------------------------------------------------------------

    def _whole(self, line: Line) -> Span:
        return self.source.span(line.start, line.end)

    def _say(self, line: Line, code: str, message: str, item: Item | None = None) -> None:
        span = self.source.span(item.start, item.end) if item else self._whole(line)
        self.report.append(say(code, span, message))


def _parts(entry: Entry) -> list[Part]:
    found: list[Part] = []

    def gather(elements: tuple[object, ...]) -> None:
        for element in elements:
            if isinstance(element, Part):
                found.append(element)
            elif isinstance(element, Maybe):
                gather(element.inside)
            elif hasattr(element, "ways"):
                for way in element.ways:
                    gather(way)

    gather(pattern(entry.takes))
    return found


def _value_parts(entry: Entry) -> list[str]:
    """The names of the parts that are values and not names, the main one first."""
    names = [p.name for p in _parts(entry) if p.kind not in ("name", "names", "choice")]
    return sorted(names, key=lambda name: name not in ("value", "teeth"))


def _leading_words(line: Line) -> list[str]:
    words: list[str] = []
    for item in line.items:
        if item.kind != "word":
            break
        words.append(item.text)
    return words


def _longest(spelt: list[str], known: dict[str, Entry]) -> tuple[Entry, int] | None:
    """The entry with the longest spelling that the words begin with, and how many words that is."""
    for used in range(min(5, len(spelt)), 0, -1):
        entry = known.get(" ".join(spelt[:used]).lower())
        if entry is not None:
            return entry, used
    return None


def _same_name(one: Builder, other: Builder) -> bool:
    return (one.label or "").lower() == (other.label or "").lower()


def slug(name: str) -> str:
    """A name as it stands in a path: lower case, other signs than letters and figures made `_`."""
    return re.sub(r"\W+", "_", name.lower()).strip("_")


def _path(entry: Entry, label: str | None, home: Builder) -> str:
    above = home.path
    word = slug(entry.word)
    if home.entry.word == "arbor" and entry.owners[0] == "train" and home.parent is not None:
        above = home.parent.path  # winding gear belongs to the train, whichever arbor it is written under
    if entry.word == "barrel" and home.parent is not None:
        # The drum and its arbor share one name, `going.barrel`, whatever the arbor is called.
        return f"{home.parent.path}.barrel"
    if label is None:
        return f"{above}.{word}" if above else word
    own = slug(label)
    if entry.word in _OWN_NAMES:
        return f"{above}.{own}" if above else own
    return f"{above}.{word}.{own}" if above else f"{word}.{own}"


def _called(builder: Builder) -> str:
    """A fact as a keeper would name it: `the barrel of going`, `arbor third of going`."""
    if builder.parent is None:
        return "the description itself"
    name = f"{builder.entry.word} {builder.label}" if builder.label else f"the {builder.entry.word}"
    train = builder.parent
    while train is not None and train.entry.word != "train":
        train = train.parent
    return f"{name} of {train.label}" if train is not None and train is not builder and train.label else name
