"""A fact's values as one phrase, put together as the vocabulary says that its line is written."""

from __future__ import annotations

from collections.abc import Mapping

from countwheel import vocabulary
from countwheel.forms import Either, Element, Literal, Maybe, Part, pattern
from countwheel.model.node import Node


def phrase(node: Node, owner: str, shown: Mapping[str, str]) -> str:
    """'3 Paris pound at 10 Paris inch', 'once an hour': the parts `shown`, with the words between them.

    `owner` is the word of the fact that owns it; `shown` holds each part's own text. Where the
    vocabulary does not know the word there, or a part has no place in its form, the parts alone.
    """
    words = vocabulary.load()
    entry = words.under(owner).get(node.word) if words.may_own(owner) else None
    if entry is None and node.word.startswith("<"):  # a line that begins with no word of its own
        entry = words.loose.get(owner)
    made = _fill(pattern(entry.takes), shown) if entry else None
    if made is not None and all(text in made for text in shown.values()):
        return made
    return ", ".join(text for text in shown.values() if text)


def _fill(elements: tuple[Element, ...], shown: Mapping[str, str]) -> str | None:
    """None where a part that must stand here is not shown."""
    words: list[str] = []
    for at, element in enumerate(elements):
        match element:
            case Literal():
                words.append(element.word)
            case Part():
                if element.name not in shown:
                    return None
                words.append(shown[element.name])
            case Maybe():
                words.append(_fill(element.inside, shown) or "")
            case Either():
                filled = [text for way in element.ways if (text := _fill(way, shown)) is not None]
                if not filled:
                    return None
                # of ways with and without a value the one that says most
                words.append(
                    max(filled, key=len) if _has_parts(element) else _article(filled, elements, at, shown)
                )
    return " ".join(word for word in words if word)


def _has_parts(element: Either) -> bool:
    return any(not isinstance(inner, Literal) for way in element.ways for inner in way)


def _article(words: list[str], elements: tuple[Element, ...], at: int, shown: Mapping[str, str]) -> str:
    """Which of several words stands before what follows: 'an hour', 'a week', 'in 4 h', '2 turns'."""
    after = _fill(elements[at + 1 :], shown) or ""
    if after[:1].isdigit() and "in" in words:
        return "in"
    if {"a", "an"} <= set(words):
        return "an" if after[:1] in "aeiou" or after.startswith("hour") else "a"
    return words[0]
