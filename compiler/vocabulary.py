"""The vocabulary, read from `grammar/vocabulary.table`: what words there are and what each takes."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from countwheel import grammar

EVERYWHERE = "*"


class Entry(NamedTuple):
    """One word of the language, under one or several owners.

    `takes` is the value's form as written in the table. `need` is '', 'wanted',
    'must', or 'together' (with the other such words of its owner); `many` and
    `label` say how often it may stand. `block` is the owner under which its
    own facts are looked up.
    """

    owners: tuple[str, ...]
    word: str
    takes: str
    need: str
    many: bool
    label: bool
    block: str
    example: str
    meaning: str
    also: tuple[str, ...]

    @property
    def fixed(self) -> bool:
        """Whether the line begins with the word itself (and not with `<task>` and the like)."""
        return not self.word.startswith("<")


class Vocabulary(NamedTuple):
    """`owners` maps an owner to its spellings and their entries; `choices` a set's name to its words."""

    entries: tuple[Entry, ...]
    owners: dict[str, dict[str, Entry]]
    loose: dict[str, Entry]
    choices: dict[str, dict[str, Entry]]
    here: dict[str, dict[str, Entry]]  # as `owners`, with the words that may stand everywhere
    wanted: dict[str, tuple[Entry, ...]]  # the words that are wanted, or are where others are, by owner
    long: frozenset[str]  # the spellings of several words

    def may_own(self, block: str) -> bool:
        return block in self.owners or block in self.loose

    def under(self, owner: str) -> dict[str, Entry]:
        """The spellings that may stand under `owner`, those that may stand everywhere included."""
        return self.here.get(owner) or self.owners[EVERYWHERE]

    def homes(self, spelling: str) -> tuple[str, ...]:
        """The owners under which a spelling is known."""
        return tuple(
            owner for owner, known in self.owners.items() if spelling in known and owner != EVERYWHERE
        )

    def meaning(self, word: str) -> str:
        """The meaning of a word by its first owner; '' where there is none."""
        return next((entry.meaning for entry in self.entries if entry.word == word), "")


def longest(spelt: list[str], known: dict[str, Entry]) -> tuple[Entry, int] | None:
    """The entry with the longest spelling that the words begin with, and how many words that is."""
    for used in range(min(5, len(spelt)), 0, -1):
        entry = known.get(" ".join(spelt[:used]).lower())
        if entry is not None:
            return entry, used
    return None


@cache
def load() -> Vocabulary:
    entries: list[Entry] = []
    owners: dict[str, dict[str, Entry]] = {EVERYWHERE: {}}
    loose: dict[str, Entry] = {}
    choices: dict[str, dict[str, Entry]] = {}
    for cells in grammar.rows("vocabulary.table"):
        owner_cell, word, takes, need_cell, example, meaning, also_cell = cells
        block = word
        if need_cell.startswith("as "):
            block, need_cell = need_cell[3:], ""
        flags = need_cell.split()
        also = tuple(name.strip() for name in also_cell.split(",") if name.strip())
        entry = Entry(
            tuple(name.strip() for name in owner_cell.split(",")),
            word,
            "" if takes == "-" else takes,
            next((flag for flag in flags if flag in ("wanted", "must", "together")), ""),
            "many" in flags,
            "label" in flags,
            {"<entry>": "entry"}.get(word, block),
            example,
            meaning,
            also,
        )
        entries.append(entry)
        for owner in entry.owners:
            if owner.startswith("set "):
                home = choices.setdefault(owner[4:], {})
            elif not entry.fixed:
                loose[owner] = entry
                continue
            else:
                home = owners.setdefault(owner, {})
            for spelling in (word, *also):
                home[spelling.lower()] = entry
    here = {owner: known | owners[EVERYWHERE] for owner, known in owners.items()}
    wanted: dict[str, list[Entry]] = {}
    for entry in entries:
        for owner in entry.owners if entry.need else ():
            wanted.setdefault(owner, []).append(entry)
    return Vocabulary(
        tuple(entries),
        owners,
        loose,
        choices,
        here,
        {owner: tuple(some) for owner, some in wanted.items()},
        frozenset(spelling for known in owners.values() for spelling in known if " " in spelling),
    )
