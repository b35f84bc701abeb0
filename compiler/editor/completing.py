"""What can be written at a place: words of the block one is in, then values, units, and how a value is known."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from countwheel import units
from countwheel.editor.analysis import FILE, Analysis, Fact, leading
from countwheel.editor.expecting import Next, expected
from countwheel.editor.knowing import DETAILS, KNOWN
from countwheel.emit.figure_text import value_text
from countwheel.forms import Literal, Part, form, parts, pattern
from countwheel.project import parse
from countwheel.source import Source
from countwheel.syntax.tree import Item, Line
from countwheel.vocabulary import EVERYWHERE, Entry, longest

_PARTIAL = re.compile(r"[^\s\",]*$")
_TOLERANCE = re.compile(r"(?:±|\+/-|\+-)\s*(?P<number>[\d./ ½¼¾⅓⅔⅛⅜⅝⅞]+)?$")
_BEHIND_DETAIL = re.compile(rf"(?:^|\s)(?:{'|'.join(KNOWN)})\b.*\s(?P<detail>by|from)\s+$")
_CLAIMS = ("pendulum beats", "every hand turns clockwise from outside", "motion work is 12 to 1")


class Offer(NamedTuple):
    """One thing that can be written: `text` in place of the characters `start` to `end`.

    kind: word, part, choice, unit, evidence, name, path, figure, literal. `order` sorts before the label.
    """

    label: str
    kind: str
    text: str
    start: int
    end: int
    detail: str = ""
    meaning: str = ""
    order: int = 5


class _Place(NamedTuple):
    """Where one writes: the line's own text up to the word being written, and where that word begins and ends."""

    analysis: Analysis
    file: str
    content: int  # where the line's text begins
    start: int
    end: int
    owners: list[Line]
    line: Line | None  # what stands before the word, as read
    before: str
    partial: str

    def offer(self, label: str, kind: str, detail: str = "", meaning: str = "", order: int = 5) -> Offer:
        return Offer(label, kind, label, self.start, self.end, detail, meaning, order)

    @property
    def items(self) -> list[Item]:
        return self.line.items if self.line is not None else []


def offers(analysis: Analysis, file: str, offset: int) -> list[Offer]:
    """What can be written at a place; nothing inside a comment or a text."""
    place = _place(analysis, file, offset)
    if place is None:
        return []
    found = {offer.label: offer for offer in _offers(place)}
    written = place.partial.lower()
    whole = f"{place.before}{place.partial}".lower()
    kept = []
    for offer in found.values():
        typed = whole if offer.start == place.content else written
        if offer.label.lower().startswith(typed) or (offer.kind == "path" and typed in offer.label.lower()):
            kept.append(offer)
    return sorted(kept, key=lambda offer: offer.order)


def _place(analysis: Analysis, file: str, offset: int) -> _Place | None:
    source = analysis.sources[file]
    begins = source.text.rfind("\n", 0, offset) + 1
    head = source.text[begins:offset]
    here = analysis.line_at(file, offset)
    if here is not None and here.block is not None and here.end < offset:
        return None  # in a text of several lines
    content = head.lstrip(" \t")
    depth = len(head) - len(content)
    partial = _PARTIAL.search(content)
    at = partial.start() if partial else len(content)
    before = content[:at]
    if before.replace('"""', "").count('"') % 2:
        return None  # in a quoted text
    tree, _ = parse(Source("", before))
    if tree.tail or any(line.comment for line in tree.lines) or content.startswith("#"):
        return None
    follows = re.match(r"[^\s\",]*", source.text[offset:])
    end = offset + (follows.end() if follows else 0)
    owners = analysis.owners(file, begins, depth)
    line = tree.lines[0] if tree.lines else None
    return _Place(
        analysis, file, begins + depth, begins + depth + at, end, owners, line, before, content[at:]
    )


def _offers(place: _Place) -> Iterator[Offer]:
    entries = list(place.analysis.entries(place.file, place.owners))
    if len(entries) < len(place.owners):
        return  # under a line that is not known
    block = entries[-1].block if entries else FILE
    words = place.analysis.words
    spelt = leading(place.items)
    denied = 1 if spelt[:1] == ["no"] else 0
    if len(spelt) == len(place.items):
        yield from _words(place, block, denied)
        if not spelt:
            yield from _values_alone(place, block, entries)
    hit = longest(spelt[denied:], words.under(block))
    if hit is not None:
        if not denied:
            yield from _value(place, hit[0], place.items[hit[1] :])
        elif len(spelt) == denied + hit[1]:
            yield from _known(place)
    elif block in words.loose and place.items:
        yield from _value(place, words.loose[block], place.items)


# -- words -------------------------------------------------------------------


def _words(place: _Place, block: str, denied: int) -> Iterator[Offer]:
    """The words that may stand here, those that are wanted and not there yet first; in place of the line so far."""
    words = place.analysis.words
    known = words.under(block)
    there = _stated(place)
    typed = f"{place.before}{place.partial}".lower()
    negation = "no " if denied else ""
    for spelling, entry in known.items():
        if denied and entry.need == "must":
            continue
        alias = spelling != entry.word.lower()
        if alias and not (len(typed) > 1 and f"{negation}{spelling}".startswith(typed)):
            continue
        label = f"{negation}{spelling if alias else entry.word}"
        order = 3 if EVERYWHERE in entry.owners else 1
        if entry.word in there and not entry.many:
            order = 4
        elif entry.need and entry.word not in there:
            order = 0
        meaning = entry.meaning + (f" (the same as {entry.word})" if alias else "")
        yield Offer(
            label,
            "part" if words.may_own(entry.block) else "word",
            label,
            place.content,
            place.end,
            form(entry.takes),
            _with_example(meaning, entry),
            order,
        )
    loose = words.loose.get(block)
    if loose is not None and not denied and not place.before:
        lead = pattern(loose.takes)[0]
        if isinstance(lead, Part):
            yield from _part(place, Next(lead), loose)


def _with_example(meaning: str, entry: Entry) -> str:
    return f"{meaning}\n\nFor example: `{entry.example}`" if entry.example else meaning


def _stated(place: _Place) -> set[str]:
    """The words that the block one writes in has already, outside the line itself."""
    analysis = place.analysis
    owner = analysis.facts_of(place.file, place.owners[-1])[:1] if place.owners else []
    if place.owners and not owner:
        return set()
    nodes = owner[0].node.facts if owner else analysis.clock.root.facts
    return {node.word for node in nodes if node.span.start != place.content}


# -- values ------------------------------------------------------------------


def _values_alone(place: _Place, block: str, entries: list[Entry]) -> Iterator[Offer]:
    """A further value of the fact above, on a line of its own: what may stand in it is the same."""
    if entries and place.items:
        yield from _value(place, entries[-1], place.items)


def _value(place: _Place, entry: Entry, items: list[Item]) -> Iterator[Offer]:
    behind = _BEHIND_DETAIL.search(place.before)
    if behind is not None:
        yield from _people_and_papers(place, behind["detail"])
        return
    if place.line is not None and place.line.clauses:
        yield from _details(place, place.line)
        return
    elements = pattern(entry.takes)
    tolerance = _TOLERANCE.search(place.before)
    if tolerance is not None:
        for part in elements:
            if isinstance(part, Part) and tolerance["number"]:
                yield from _units(place, part.kind)
        return
    following, whole = expected(elements, items, place.analysis.words)
    if any(isinstance(one.element, Part) and one.element.kind == "events" for one in following):
        yield from _events(place, items)
        return
    for one in following:
        if isinstance(one.element, Literal):
            yield place.offer(one.element.word, "literal", f"as in: {entry.example}", order=2)
        else:
            yield from _part(place, one, entry)
    if items and any(isinstance(one.element, Literal) and one.element.word == "every" for one in following):
        whole = False  # a task of the care list: how often comes first, and how it is known never
    sentence = any(part.kind in ("claim", "changes") for part in parts(entry.takes))
    if (whole or (items and items[-1].kind == "unknown")) and not sentence:
        yield from _known(place)


def _part(place: _Place, following: Next, entry: Entry | None = None) -> Iterator[Offer]:
    part = following.element
    assert isinstance(part, Part)
    if part.kind == "choice":
        begun = " ".join(item.text.lower() for item in following.begun)
        known = place.analysis.words.choices[part.choice]
        for spelling, choice in known.items():
            alias = spelling != choice.word.lower()
            if alias and not (place.partial and spelling.startswith(place.partial.lower())):
                continue
            written = spelling if alias else choice.word
            if begun and not spelling.startswith(f"{begun} "):
                continue
            yield place.offer(written[len(begun) :].lstrip(), "choice", part.choice, choice.meaning, order=1)
    elif part.kind == "path":
        yield from _paths(place, entry.word if entry else "")
    elif part.kind in ("name", "names"):
        yield from _names(place, entry)
    elif part.kind == "claim":
        yield from _claims(place, following.begun)
    elif following.begun and following.begun[-1].kind == "number":
        for dimension in _dimensions(place, following.begun) if part.kind == "any" else (part.kind,):
            yield from _units(place, dimension)
    if part.kind not in ("name", "names", "claim", "events", "changes") and not following.begun:
        yield place.offer(
            "?", "literal", "not known", "A value that is not known; it never stops a build.", 6
        )


def _dimensions(place: _Place, begun: tuple[Item, ...]) -> tuple[str, ...]:
    """What the fact is measured in that a line of a season begins with."""
    at = next((number for number, item in enumerate(place.items) if item is begun[0]), 0)
    known = place.analysis.by_path.get(place.items[at - 1].text.lower(), ()) if at else ()
    kinds = {part.kind: None for fact in known for part in parts(fact.entry.takes)}
    return tuple(kind for kind in kinds if units.preferred_forms(kind))


def _units(place: _Place, dimension: str) -> Iterator[Offer]:
    """The units of a dimension, their preferred spelling first; a thread may be measured by its length as well."""
    for kind in (dimension, *(("length",) if dimension == "thread" else ())):
        for name in units.preferred_forms(kind):
            yield place.offer(name, "unit", kind, unit_size(name, kind), order=1)


def unit_size(name: str, dimension: str) -> str:
    """A unit in the SI unit of its dimension: '1 cwt = 50.8023 kg'; '' for that unit itself and for temperatures."""
    unit = units.lookup(name, dimension)
    base = next(
        (
            one
            for one in units.preferred_forms(dimension)
            if (known := units.lookup(one, dimension)) and known.size == 1 and not known.offset
        ),
        "",
    )
    if unit is None or not base or unit.form == base or unit.offset or dimension == "thread":
        return ""
    return f"1 {name} = {unit.size:.6g} {base}"


def _paths(place: _Place, word: str) -> Iterator[Offer]:
    """Paths: of any fact for a photograph and a season, else of what turns."""
    every = word in ("photo", "of", "<change>", "")
    seen: set[str] = set()
    for fact in place.analysis.facts:
        path = fact.node.path
        fits = fact.node.word not in ("entry", "<change>", "expect", "remark") if every else _turns(fact)
        if path and path not in seen and fits:
            seen.add(path)
            yield place.offer(path, "path", fact.node.word, fact.entry.meaning, 1 if fact.node.label else 2)


def _turns(fact: Fact) -> bool:
    return fact.node.word in ("arbor", "barrel", "shaft") or any(
        part.name == "teeth" for part in parts(fact.entry.takes)
    )


def _names(place: _Place, entry: Entry | None) -> Iterator[Offer]:
    """Names of bells behind `on bell`, of dials behind `to`: names given elsewhere, where the word refers to one."""
    word = {"on": "bell", "to": "dial"}.get(entry.word if entry else "")
    for fact in place.analysis.facts:
        if word is not None and fact.node.word == word and fact.node.label:
            label = fact.node.label
            yield place.offer(quoted(label), "name", word, fact.entry.meaning, order=1)


def quoted(name: str) -> str:
    """A name as it is written where one stands alone: in quotes unless it is one plain word."""
    return name if re.fullmatch(r"[^\W\d_][\w-]*", name) else f'"{name}"'


def _claims(place: _Place, begun: tuple[Item, ...]) -> Iterator[Offer]:
    """What a sentence behind `expect` can begin with, and what can be said of a train."""
    trains = place.analysis.clock.trains
    if begun:
        if len(begun) == 1 and begun[0].text.lower() in {train.name for train in trains}:
            yield place.offer("lasts at least", "literal", "expect going lasts at least 8 days", order=1)
            yield place.offer("blows", "literal", "expect strike blows 156 a day", order=2)
        return
    for train in trains:
        yield place.offer(
            train.name, "name", "train", f"`expect {train.name} lasts at least 8 days`", order=1
        )
    for claim in _CLAIMS:
        yield place.offer(claim, "literal", "expect", order=2)
    for figure in place.analysis.figures.values():
        yield place.offer(figure.id, "figure", value_text(figure), figure.title, order=3)


def _events(place: _Place, items: list[Item]) -> Iterator[Offer]:
    """Events of the log, and what may stand behind the last one."""
    known = place.analysis.words.owners["entry"]
    last = max((at for at, item in enumerate(items) if item.text.lower() in known), default=None)
    if last is not None:
        event = known[items[last].text.lower()]
        following, whole = expected(pattern(event.takes), items[last + 1 :], place.analysis.words)
        for one in following:
            if isinstance(one.element, Literal):
                yield place.offer(one.element.word, "literal", f"as in: {event.example}", order=1)
            else:
                yield from _part(place, one, event)
        if not whole:
            return
    for entry in dict.fromkeys(known.values()):
        yield place.offer(entry.word, "word", form(entry.takes), _with_example(entry.meaning, entry), order=2)


# -- how a value is known ------------------------------------------------------


def _known(place: _Place) -> Iterator[Offer]:
    for word, meaning in KNOWN.items():
        yield place.offer(word, "evidence", "how it is known", meaning, order=4)


def _details(place: _Place, line: Line) -> Iterator[Offer]:
    """What may stand behind `measured`: when, by whom, from what; and that it is doubted, lost, perhaps never there."""
    said = {clause.kind for clause in line.clauses}
    for word, meaning in DETAILS.items():
        if "known" in said and word not in said:
            yield place.offer(word, "evidence", "how it is known", meaning, order=1)
    for word in ("lost", "perhaps", "doubted"):
        if word not in said:
            yield place.offer(word, "evidence", "how it is known", KNOWN[word], order=2)


def _people_and_papers(place: _Place, detail: str) -> Iterator[Offer]:
    """Who and what is named in the description as the source of a fact."""
    seen: dict[str, None] = {}
    for fact in place.analysis.facts:
        for node in (fact.node, *fact.node.others):
            name = node.evidence.by if detail == "by" else node.evidence.source
            if name:
                seen[name] = None
    for name in seen:
        yield place.offer(f'"{name}"', "name", "named in this description", order=1)
