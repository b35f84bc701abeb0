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
from countwheel.resolve.builder import ROOT, Builder, called, leading_words
from countwheel.source import Source
from countwheel.syntax.tree import Line
from countwheel.vocabulary import Entry, Vocabulary, longest

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
        self._long = words.long
        self._run: tuple[Builder, frozenset[str], Builder | None] | None = None

    def find(self, line: Line, owner: Builder) -> Found | None:
        """The entry a line is about, the fact that owns it, how many items the word takes, and the word as written."""
        block = owner.entry.block
        spelt = leading_words(line)
        known = self.words.under(block)
        hit = longest(spelt, known)
        loose = self.words.loose.get(block)
        if hit and self._longer_elsewhere(spelt, hit[1], owner):
            hit = None  # `turns of line` under an arbor is not about how the arbor `turns`
        if hit and not (loose and block == "log"):
            if self._run and self._run[0] is owner:
                self._run = None
            return hit[0], owner, hit[1], " ".join(spelt[: hit[1]])
        if len(spelt) > 1 and spelt[0].lower() == "no":
            denied = longest(spelt[1:], known)
            if denied:
                return denied[0], owner, denied[1] + 1, " ".join(spelt[: denied[1] + 1])
        if loose and self._fits_loose(line, loose):
            vague = line.odd or (loose.word == "<task>" and not _says(line, "every"))
            if not vague or not self.belongs_farther_out(line, owner):
                return loose, owner, 0, ""
        beside = self.words.loose.get(owner.parent.entry.block) if owner.moved and owner.parent else None
        if beside and owner.parent and self._fits_loose(line, beside):
            return beside, owner.parent, 0, ""  # the line above it was moved there, and this belongs with it
        if line.broken and not spelt:
            return None
        if not spelt:
            return self._begins_without_word(line, owner)
        return self._not_known(line, owner, spelt)

    def _longer_elsewhere(self, spelt: list[str], used: int, owner: Builder) -> bool:
        """Whether a line begins with a longer word than the one known here, and stands near where that belongs."""
        if len(spelt) == used or not any(
            " ".join(spelt[:more]).lower() in self._long for more in range(used + 1, min(len(spelt), 4) + 1)
        ):
            return False
        moved = self._where_it_belongs(owner, spelt)
        return moved is not None and moved[2] > used

    def belongs_farther_out(self, line: Line, owner: Builder) -> Entry | None:
        """The word that a line is about, where `owner` cannot have it and a fact above it can."""
        spelt = leading_words(line)
        spelt = spelt[1:] if spelt[:1] == ["no"] else spelt
        if not spelt or longest(spelt, self.words.under(owner.entry.block)):
            return None
        above = owner.parent
        while above is not None:
            hit = longest(spelt, self.words.owners.get(above.entry.block, {}))
            if hit:
                return hit[0]
            above = above.parent
        return None

    def slid_out(self, line: Line, owner: Builder) -> Builder | None:
        """The fact before a line that it belongs to, though `owner` has the word: what is under it fits only there.

        `runs down` set out from under its arbor would be how the train runs, with a wheel of its own. Told.
        """
        home = owner.last
        if home is None or not line.children:
            return None
        spelt = leading_words(line)
        hit = longest(spelt, self.words.under(owner.entry.block))
        if hit is None or hit[0].label:
            return None
        entry, used = hit
        there, own = (self.words.under(block) for block in (home.entry.block, entry.block))
        other = longest(spelt, there)
        if other is None or other[1] != used or (entry.word, "") in home.named:
            return None
        below = [leading_words(child) for child in line.children]
        only_there = [longest(words, there) is not None and not longest(words, own) for words in below]
        if not any(only_there) or any(longest(words, own) and not longest(words, there) for words in below):
            return None
        word = " ".join(spelt[:used])
        said = f"What stands under `{word}` belongs to {called(home)}, and so does this line."
        self._wrong_place(line, entry, word, owner, home, said)
        return home

    def word_of(self, line: Line, owner: Builder) -> Entry | None:
        """The word of `owner` that a line begins with."""
        hit = longest(leading_words(line), self.words.under(owner.entry.block))
        return hit[0] if hit else None

    def fits(self, line: Line, block: str) -> bool:
        """Whether a line begins with a word that belongs to a block, or is of a kind that has none."""
        loose = self.words.loose.get(block)
        if loose is not None and loose.word == "<task>":
            return _says(line, "every")
        if loose is not None and self._fits_loose(line, loose):
            return True
        return longest(leading_words(line), self.words.owners.get(block, {})) is not None

    def _fits_loose(self, line: Line, entry: Entry) -> bool:
        """Whether a line without a fixed word can be of that kind, by how it begins."""
        if not line.items:
            return False
        first = line.items[0]
        if entry.word == "<entry>":
            return first.kind == "date"
        if entry.word == "<task>":
            return first.kind == "word"
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
        if self._goes_on(owner, frozenset(["M110"]), None):
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
        no = 1 if spelt[0].lower() == "no" else 0  # `no silent` stands where `silent` does
        moved = self._where_it_belongs(owner, spelt[no:])
        if moved:
            entry, home, used = moved
            used += no
            word = " ".join(spelt[:used])
            self.misplaced.add(entry.word)
            before = self._run[2] if self._run and self._run[0] is owner else None
            with_it = before is not None and home in (before, before.last)
            follows = self._goes_on(owner, frozenset([home.path]), home) or line.odd or with_it
            if not follows and not (owner.moved and _is_above(home, owner)):
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
        turned = None if elsewhere and elsewhere[1] > 1 else self._name_first(line, owner, spelt)
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
        elif not self._goes_on(owner, frozenset(["M208"]), None):
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
            if not hit or not hit[0].label or not hit[0].many:
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

    def _wrong_place(
        self, line: Line, entry: Entry, word: str, owner: Builder, home: Builder | None, said: str = ""
    ) -> None:
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
                said or f"`{word}` is not a word of {called(owner)}.",
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


def _says(line: Line, word: str) -> bool:
    return any(item.kind == "word" and item.text == word for item in line.items)


def _is_above(home: Builder, owner: Builder) -> bool:
    above = owner.parent
    while above is not None and above is not home:
        above = above.parent
    return above is home
