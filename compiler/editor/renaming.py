"""A part given another name, wherever it is named; tried on the description before it is offered."""

from __future__ import annotations

from typing import NamedTuple

from countwheel import api
from countwheel.diagnostics.record import Edit
from countwheel.editor.analysis import Analysis, Fact
from countwheel.editor.completing import quoted
from countwheel.editor.naming import Place, place_at, same
from countwheel.forms import parts
from countwheel.model.node import slug
from countwheel.vocabulary import Vocabulary


class Renaming(NamedTuple):
    """The edits, or why there are none."""

    edits: tuple[Edit, ...] = ()
    why_not: str = ""


def renameable(analysis: Analysis, file: str, offset: int) -> Place | None:
    """The name that stands at a place, where it is the keeper's own and can be another."""
    place = place_at(analysis, file, offset)
    return place if place is not None and place.is_name else None


def rename(analysis: Analysis, file: str, offset: int, name: str) -> Renaming:
    """The edits that give the part named at a place another name in all files. The text has not changed yet."""
    place = renameable(analysis, file, offset)
    name = name.strip().removeprefix('"').removesuffix('"').strip()
    if place is None:
        return Renaming(why_not="There is no name of a part here.")
    if not slug(name) or any(letter in name for letter in '"\n\r\t'):
        return Renaming(why_not="A name needs at least one letter or figure, and no quotation mark.")
    edits = tuple(
        Edit(one.span, _written(analysis, one, name), f"call it {name}") for one in same(analysis, place.fact)
    )
    why_not = _tried(analysis, edits)
    return Renaming(() if why_not else edits, why_not)


def _written(analysis: Analysis, place: Place, name: str) -> str:
    """The name as it is to stand there: in a path, in quotes, or as one plain word."""
    if place.in_path:
        return slug(name)
    line = analysis.line_at(place.span.file, place.span.start)
    if line is not None and line.items and line.items[0].text == "expect":
        return name  # a sentence; there names stand as they are said
    was = analysis.sources[place.span.file].text[place.span.start : place.span.end]
    return f'"{name}"' if was.startswith('"') or _is_word(name, place.fact, analysis.words) else quoted(name)


def _is_word(name: str, fact: Fact, words: Vocabulary) -> bool:
    """Whether a name might be read as a word of the language where it stands bare: `wheel crown 80` is a contrate."""
    own = [part.choice for part in parts(fact.entry.takes) if part.kind == "choice"]
    return any(name.lower() in words.choices[choice] for choice in own)


def _tried(analysis: Analysis, edits: tuple[Edit, ...]) -> str:
    """What would be amiss with the description afterwards and is not now; '' where all is as before."""
    texts = {file: source.text for file, source in analysis.sources.items()}
    for edit in sorted(edits, key=lambda one: one.span.start, reverse=True):
        file, start, end = edit.span
        texts[file] = texts[file][:start] + edit.text + texts[file][end:]
    main = analysis.reading.file
    base = main[: len(main) - len(main.replace("\\", "/").rpartition("/")[2])]
    after = api.read_text(texts[main], main, lambda name: texts[f"{base}{name}"])
    known = {(one.code, one.message) for one in analysis.reading.diagnostics}
    fresh = [
        one for one in after.diagnostics if one.severity == "error" and (one.code, one.message) not in known
    ]
    before = analysis.reading.diagnostics
    errors = sum(one.severity == "error" and one.code != "M701" for one in before)
    if fresh and sum(one.severity == "error" for one in after.diagnostics) > errors:
        return f"With that name: {fresh[0].message}"
    if sum(1 for _ in after.clock.root.walk()) != sum(1 for _ in analysis.clock.root.walk()):
        return "With that name the description would be read in another way."
    return ""
