"""The words of the trade that a manual uses, with their meanings: only those, and each once."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files

from countwheel import vocabulary
from countwheel.emit.document import Block, Caution, Chapter, Inline, Items, Link, Paragraph, Section, Text
from countwheel.emit.traversal import plain


@dataclass(frozen=True, slots=True)
class Explained:
    """One word: `id` is its anchor, `forms` every way it may stand in a text."""

    id: str
    name: str
    forms: tuple[str, ...]
    meaning: str


@cache
def all_words() -> tuple[Explained, ...]:
    """Every word that can be explained, in the order of the alphabet."""
    text = files("countwheel.emit").joinpath("templates/manual/words.table").read_text(encoding="utf-8")
    found = []
    for line in text.splitlines():
        if line and not line.startswith("#"):
            name, others, meaning = (cell.strip() for cell in line.split("|"))
            if meaning.startswith("="):
                meaning = vocabulary.load().meaning(meaning[1:].strip() or name)
            forms = (name, *(form.strip() for form in others.split(",") if form.strip()))
            found.append(Explained(f"word-{name.replace(' ', '-')}", name, forms, meaning))
    return tuple(sorted(found, key=lambda word: word.name))


def words_used(chapters: Iterable[Chapter]) -> tuple[Explained, ...]:
    """The words that the chapters use, and those that the meanings of these use in turn."""
    text = " ".join(plain(chapter) for chapter in chapters).lower()
    found = {word for word in all_words() if _stands(word, text)}
    while True:
        meanings = " ".join(word.meaning for word in found).lower()
        more = {word for word in all_words() if word not in found and _stands(word, meanings)}
        if not more:
            return tuple(word for word in all_words() if word in found)
        found |= more


def _stands(word: Explained, text: str) -> bool:
    """Whether a text in small letters holds the word in some form."""
    # Most forms stand nowhere: looking for the bare letters first costs a tenth of the pattern.
    return any(
        form in text and re.search(rf"\b{re.escape(form)}\b", text) for form in map(str.lower, word.forms)
    )


def link_words(chapter: Chapter, words: Iterable[Explained]) -> Chapter:
    """The chapter with each word linked to its explanation where running text first uses it."""
    wanted = {form.lower(): word for word in words for form in word.forms}
    if not wanted:
        return chapter
    longest = sorted(wanted, key=lambda form: (-len(form), form))
    pattern = re.compile(rf"\b(?:{'|'.join(map(re.escape, longest))})\b", re.IGNORECASE)
    linker = _Linker(wanted, pattern)
    return replace(chapter, blocks=tuple(map(linker.block, chapter.blocks)))


class _Linker:
    """Goes through one chapter in reading order and keeps what has been linked already."""

    def __init__(self, wanted: dict[str, Explained], pattern: re.Pattern[str]) -> None:
        self.wanted = wanted
        self.pattern = pattern
        self.done: set[str] = set()

    def block(self, block: Block) -> Block:
        """Paragraphs, lists, cautions and sections; tables, facts and the keeper's own text stay."""
        match block:
            case Paragraph():
                return Paragraph(tuple(self.parts(block.parts)))
            case Items():
                return replace(block, items=tuple(tuple(map(self.block, item)) for item in block.items))
            case Caution() | Section():
                return replace(block, blocks=tuple(map(self.block, block.blocks)))
        return block

    def parts(self, parts: Iterable[Inline]) -> Iterator[Inline]:
        for part in parts:
            if isinstance(part, Text):
                yield from self.text(part.text)
            else:
                yield part

    def text(self, text: str) -> Iterator[Inline]:
        start = 0
        for match in self.pattern.finditer(text):
            word = self.wanted[match[0].lower()]
            if word.id in self.done:
                continue
            self.done.add(word.id)
            if match.start() > start:
                yield Text(text[start : match.start()])
            yield Link(word.id, (Text(match[0]),))
            start = match.end()
        if start < len(text):
            yield Text(text[start:])
