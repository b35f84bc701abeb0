"""The vocabulary for a terminal: all of it, one block's words, or one word."""

from __future__ import annotations

from textwrap import wrap

from countwheel.diagnostics.suggest import nearest
from countwheel.vocabulary import EVERYWHERE, Entry, Vocabulary, load


def all_words(width: int = 100) -> str:
    """Every word of the language, by the block it stands under, with its meaning."""
    words = load()
    parts = [_block(owner, words, width) for owner in words.owners if owner != EVERYWHERE]
    parts.append("everywhere\n" + _entries(words.owners[EVERYWHERE], width))
    return "\n".join(parts)


def about(word: str, width: int = 100) -> str | None:
    """What there is to say of a word: as a block, under its owners, as a choice. None where it is not known."""
    words = load()
    asked = " ".join(word.lower().split())
    parts: list[str] = []
    hits = dict.fromkeys(
        entry for entry in words.entries if asked in (entry.word.lower(), *(a.lower() for a in entry.also))
    )
    for entry in hits:
        owners = ", ".join("the file itself" if o == "movement" else o for o in entry.owners)
        if entry.owners[0].startswith("set "):
            parts.append(f"{entry.word}: one of the {entry.owners[0][4:]}\n" + _text(entry.meaning, width))
            continue
        parts.append(f"{entry.word}, under {owners}\n" + _details(entry, words, width))
    if asked in words.owners:
        parts.append(_block(asked, words, width))
    return "\n".join(parts) or None


def near(word: str) -> tuple[str, ...]:
    return nearest(word.lower(), sorted({entry.word for entry in load().entries}), 3)


def _text(text: str, width: int, indent: str = "    ") -> str:
    return "\n".join(wrap(text, width, initial_indent=indent, subsequent_indent=indent)) + "\n"


def _details(entry: Entry, words: Vocabulary, width: int) -> str:
    out = _text(entry.meaning, width)
    if entry.takes:
        from countwheel.forms import form

        out += _text(
            f"written: {entry.word} {form(entry.takes)}" if entry.fixed else f"written: {form(entry.takes)}",
            width,
        )
    if entry.example:
        out += _text(f"example: {entry.example}", width)
    if entry.also:
        out += _text(f"also read: {', '.join(entry.also)}", width)
    if entry.need:
        others = " and others that belong to it are" if entry.need == "together" else ""
        out += _text(f"a doubt where it is not stated{others}; write `?` where it is not known", width)
    return out


def _block(owner: str, words: Vocabulary, width: int) -> str:
    title = "the file itself" if owner == "movement" else owner
    entries = dict(words.owners.get(owner, {}))
    loose = words.loose.get(owner)
    if loose is not None:
        entries[loose.word] = loose
    return f"{title}\n" + _entries(entries, width)


def _entries(entries: dict[str, Entry], width: int) -> str:
    lines = []
    for entry in dict.fromkeys(entries.values()):
        lines.append(f"  {entry.example or entry.word}")
        lines.append(
            _text(
                entry.meaning + (f" (also read: {', '.join(entry.also)})" if entry.also else ""),
                width,
                "      ",
            ).rstrip("\n")
        )
    return "\n".join(lines) + "\n"
