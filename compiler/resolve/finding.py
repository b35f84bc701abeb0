"""Which word of the vocabulary a line is about, and what to say where it may not stand there.

A misspelt word is read as the word it is nearest to; a line at the wrong depth
is hung where its word belongs. One fault costs one message: of a run of lines
that are out of place in the same way only the first is told.
"""

from __future__ import annotations

from countwheel.diagnostics.record import Diagnostic, Edit, Label
from countwheel.diagnostics.registry import say
from countwheel.diagnostics.suggest import nearest
from countwheel.forms import Part, pattern
from countwheel.model.node import slug
from countwheel.resolve.builder import ROOT, Builder, called, leading_words, longest
from countwheel.source import Source
from countwheel.syntax.tree import Line
from countwheel.vocabulary import Entry, Vocabulary

Found = tuple[Entry, Builder, int, str]


class Finder:
    """Finds the word of each line. Faults go to `report`.

    `misplaced` gathers words that were stated somewhere else. `damaged` names
    the trains in which a line had to be left out or stands twice, so that what
    their wheels do is in doubt; `*` where it cannot be said which train it was.
    """

    def __init__(self, words: Vocabulary, report: list[Diagnostic]) -> None:
        self.words = words
        self.report = report
        self.source = Source("", "")
        self.misplaced: set[str] = set()
        self.damaged: set[str] = set()
        self._run: tuple[Builder, frozenset[str], Builder | None] | None = None

    def find(self, line: Line, owner: Builder) -> Found | None:
        """The entry a line is about, the fact that owns it, how many items the word takes, and the word as written."""
        block = owner.entry.block
        spelt = leading_words(line)
        known = self.words.under(block)
        hit = longest(spelt, known)
        loose = self.words.loose.get(block)
        if hit and not (loose and block == "log"):
            if self._run and self._run[0] is owner:
                self._run = None
            return hit[0], owner, hit[1], " ".join(spelt[: hit[1]])
        if len(spelt) > 1 and spelt[0].lower() == "no":
            denied = longest(spelt[1:], known)
            if denied:
                return denied[0], owner, denied[1] + 1, " ".join(spelt[: denied[1] + 1])
        if loose and self._fits_loose(line, loose):
            return loose, owner, 0, ""
        if line.broken and not spelt:
            return None
        if not spelt:
            return self._begins_without_word(line, owner)
        return self._not_known(line, owner, spelt)

    def belongs_farther_out(self, line: Line, owner: Builder) -> bool:
        """Whether a line is about a word that `owner` cannot have and a fact above it can."""
        spelt = leading_words(line)
        if not spelt or longest(spelt, self.words.under(owner.entry.block)):
            return False
        above = owner.parent
        while above is not None and not longest(spelt, self.words.owners.get(above.entry.block, {})):
            above = above.parent
        return above is not None

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

    def _begins_without_word(self, line: Line, owner: Builder) -> Found | None:
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
            span = self.source.span(line.items[0].start, line.items[0].end)
            self.report.append(
                say(
                    "M703",
                    span,
                    "A line of the log begins with its date.",
                    label="no date",
                    hints=("write it like this: 2026-05-02 09:00   found 12 s fast",),
                )
            )
            return None
        first = line.items[0] if line.items else None
        span = self.source.span(first.start, first.end) if first else self.source.span(line.start, line.end)
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

    def _not_known(self, line: Line, owner: Builder, spelt: list[str]) -> Found | None:
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
            if not self._goes_on(owner, frozenset([home.path]), home) and not line.odd:
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
                    f"`{' '.join(spelt[:used])}` is not a word of {called(owner)}.",
                    label="not known here",
                    hints=(f"write {spelling}",),
                    edits=(Edit(span, spelling, f"write {spelling}"),),
                )
            )
            return entry, owner, used, spelling
        turned = self._name_first(line, owner, spelt)
        if turned:
            return turned
        if line.children or owner.entry.word in ("train", "arbor"):
            self.damage(owner)
        if elsewhere:
            entry, used = elsewhere
            self.misplaced.add(entry.word)
            homes = frozenset(self.words.homes(" ".join(spelt[:used]).lower()))
            if not self._goes_on(owner, homes, None) and not line.odd:
                self._wrong_place(line, entry, " ".join(spelt[:used]), owner, None)
            return None
        span = self.source.span(line.items[0].start, line.items[0].end)
        hint = self._what_there_is(owner)
        if self.words.may_own(owner.entry.block) or owner.entry is ROOT:
            self.report.append(
                say(
                    "M201",
                    span,
                    f"`{spelt[0]}` is not a word of {called(owner)}.",
                    label="not known here",
                    hints=hint,
                )
            )
        else:
            self.report.append(
                say(
                    "M208",
                    span,
                    f"{f'`{owner.entry.word}`' if owner.entry.fixed else 'The line above'} has no facts of its own, "
                    "but this line is indented under it.",
                    label="under what?",
                    hints=("put a note in the keeper's own words behind `remark`",),
                )
            )
        return None

    def _name_first(self, line: Line, owner: Builder, spelt: list[str]) -> Found | None:
        """A name that stands before its word, as one says it: `centre arbor`, told and read as `arbor centre`."""
        known = self.words.under(owner.entry.block)
        for at in range(1, len(spelt)):
            hit = longest(spelt[at:], known)
            if not hit or not hit[0].label:
                continue
            name, word = " ".join(spelt[:at]), " ".join(spelt[at : at + hit[1]])
            span = self.source.span(line.items[0].start, line.items[at + hit[1] - 1].end)
            mend = f"{word} {name}"
            self.report.append(
                say(
                    "M201",
                    span,
                    f"`{name}` is not a word of {called(owner)}; the name of a part stands behind its word.",
                    label="the other way round",
                    hints=(f"write {mend}",),
                    edits=(Edit(span, mend, f"write {mend}"),),
                )
            )
            line.items[: at + hit[1]] = line.items[at : at + hit[1]] + line.items[:at]
            return hit[0], owner, hit[1], word
        return None

    def _goes_on(self, owner: Builder, homes: frozenset[str], home: Builder | None) -> bool:
        """Whether the line before, under the same owner, was out of place in the same way: one fault, told once."""
        before = self._run
        self._run = (owner, homes, home)
        return before is not None and before[0] is owner and bool(before[1] & homes)

    def damage(self, owner: Builder) -> None:
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
            hit = longest(spelt, self.words.owners.get(home.entry.block, {})) if home else None
            if hit and home:
                return hit[0], home, hit[1]
        above = owner.parent
        while above is not None:
            hit = longest(spelt, self.words.owners.get(above.entry.block, {}))
            if hit:
                return hit[0], above, hit[1]
            above = above.parent
        below = owner.last
        while below is not None:
            hit = longest(spelt, self.words.owners.get(below.entry.block, {}))
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
            what = called(home)
            hints.append(f"it seems to belong to {what}: indent it by {depth}")
            if home.line is not None:
                others = (Label(home.word_span, f"{what} is here"),)
            margin = self.source.span(self.source.text.rfind("\n", 0, line.start) + 1, line.start)
            if self.source.text[margin.start : margin.end].strip(" ") == "":
                edits = (Edit(margin, " " * depth, f"indent by {depth}"),)
        else:
            homes = [
                name if name != "movement" else "the file itself" for name in self.words.homes(word.lower())
            ]
            hints.append(f"`{word}` may stand under: {', '.join(dict.fromkeys(homes))}")
        self.report.append(
            say(
                "M202",
                span,
                f"`{word}` is not a word of {called(owner)}.",
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
