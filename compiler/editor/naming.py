"""Where the names of parts stand, given and referred to, in all files of a description.

A part is named in its own line (`arbor centre`) and referred to by its path (`going.centre`), each of whose words
belongs to one part: in `going.centre.great` one can ask for the train, the arbor and the wheel.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from posixpath import normpath
from typing import NamedTuple

from countwheel.editor.analysis import Analysis, Fact
from countwheel.forms import parts
from countwheel.model.node import Node, slug
from countwheel.model.values import Words
from countwheel.source import Span

_DOTTED = re.compile(r"\w+(?:\.\w+)+")
_CLAIM_TRAIN = re.compile(r"([\w ]+?)\s+(?:lasts|blows|strikes|sounds)\b", re.IGNORECASE)
_CLAIM_DIAL = re.compile(
    r"(?:the )?(?:minute |hour )?hands? of (?:dial )?([\w -]+?)\s+turns?\b", re.IGNORECASE
)


class Place(NamedTuple):
    """One place where a fact is named. `given` is True in its own line.

    `in_path` is True where the name stands as a word of a path, in small letters without spaces.
    """

    span: Span
    fact: Fact
    given: bool
    in_path: bool = False

    @property
    def is_name(self) -> bool:
        """Whether what stands here is a name of the keeper's, and not a word of the language."""
        return self.fact.node.label is not None


def places(analysis: Analysis) -> list[Place]:
    """Every place where a fact of the description is given or referred to."""
    found: list[Place] = []
    for fact in analysis.facts:
        if fact.node.label is not None:
            found += _given(analysis, fact)
        found += _references(analysis, fact)
    return found


def place_at(analysis: Analysis, file: str, offset: int) -> Place | None:
    """The narrowest place that holds an offset or ends there; what is referred to, before what is given."""
    here = [
        place
        for place in places(analysis)
        if place.span.file == file and place.span.start <= offset <= place.span.end
    ]
    # Between two words of a path the one that ends there is meant, as in editors' own words.
    return min(here, key=lambda place: (place.span.end - place.span.start, place.given), default=None)


def same(analysis: Analysis, fact: Fact) -> list[Place]:
    """Every place where that fact is named."""
    return [place for place in places(analysis) if place.fact.node is fact.node]


def declaration(analysis: Analysis, fact: Fact) -> Span:
    """Where a fact is given: its name, or its word where it has none."""
    return next((place.span for place in same(analysis, fact) if place.given), fact.node.word_span)


# -- given -------------------------------------------------------------------


def _given(analysis: Analysis, fact: Fact) -> Iterator[Place]:
    value = fact.node.values.get("name")
    if not isinstance(value, Words):
        return
    named = next((part for part in parts(fact.entry.takes) if part.name == "name"), None)
    if named is None or named.kind != "names":
        yield Place(value.span, fact, True)
        return
    for span, text in _listed(analysis, fact.node, value.span):
        if text == fact.node.label:
            yield Place(span, fact, True)


def _listed(analysis: Analysis, node: Node, span: Span) -> Iterator[tuple[Span, str]]:
    """The names of a list, each with its place."""
    line = analysis.line_at(node.span.file, span.start)
    for item in line.items if line is not None else ():
        inside = span.start <= item.start and item.end <= span.end
        if inside and item.kind in ("word", "text", "number"):
            yield Span(span.file, item.start, item.end), item.text


# -- referred to -------------------------------------------------------------


def _references(analysis: Analysis, fact: Fact) -> Iterator[Place]:
    for part in parts(fact.entry.takes):
        value = fact.node.values.get(part.name)
        if not isinstance(value, Words):
            continue
        if part.kind == "path":
            yield from _path(analysis, value.span, value.written)
        elif part.kind == "claim":
            yield from _claim(analysis, value.span)
        elif part.kind == "names" and fact.node.label is None:
            for span, text in _listed(analysis, fact.node, value.span):
                yield from _called(analysis, "dial", text, span)
        elif part.kind == "name" and fact.node.word == "on":
            yield from _called(analysis, "bell", value.text, value.span)


def _called(analysis: Analysis, word: str, name: str, span: Span) -> Iterator[Place]:
    for fact in analysis.facts:
        if fact.node.word == word and slug(fact.node.label or "") == slug(name):
            yield Place(span, fact, False)
            return


def _path(analysis: Analysis, span: Span, written: str) -> Iterator[Place]:
    """The words of a path, each with the fact that it names; of a figure's id those that are a part's."""
    text = written.lower()
    words = text.split(".")
    target = None
    for used in range(len(words), 0, -1):
        known = analysis.by_path.get(".".join(words[:used]))
        if known:
            target = known[-1]
            break
    if target is None:
        target = next((one for one in analysis.facts if _is_arbor(one, text)), None)
        if target is not None:
            yield Place(span, target, False, True)
        return
    starts = [span.start]
    for word in words[:-1]:
        starts.append(starts[-1] + len(word) + 1)
    for at, fact in _owners_of_words(target):
        yield Place(Span(span.file, starts[at], starts[at] + len(words[at])), fact, False, True)
    if used < len(words):
        yield from _mesh(analysis, target, words[used], Span(span.file, starts[used], starts[used]))


def _is_arbor(fact: Fact, name: str) -> bool:
    return fact.node.word == "arbor" and slug(fact.node.label or "") == name


def _owners_of_words(fact: Fact) -> Iterator[tuple[int, Fact]]:
    """Which word of the path of a fact (counted from 0) belongs to which fact: its own is the last."""
    at: Fact | None = fact
    path = fact.node.path
    while at is not None and path:
        own = at.node.path
        if path == own or path.startswith(f"{own}."):
            path = own
            yield path.count("."), at
            path = ""
            above = at.owner
            # The drum has the path of its arbor, winding gear that of its train: the next owner with a shorter one.
            while above is not None and not own.startswith(f"{above.node.path}."):
                above = above.owner
            at, path = above, above.node.path if above is not None else ""
        else:
            at = at.owner


def _mesh(analysis: Analysis, train: Fact, name: str, begins: Span) -> Iterator[Place]:
    """The two arbors in the name of a mesh, as figures have it: `centre_third` of going."""
    for one in analysis.clock.trains:
        mesh = next((mesh for mesh in one.meshes if mesh.path == f"{train.node.path}.{name}"), None)
        if mesh is None:
            continue
        driver = mesh.driver_arbor.rpartition(".")[2]
        for path, at in ((mesh.driver_arbor, 0), (mesh.driven_arbor, len(driver) + 1)):
            fact = next((f for f in analysis.by_path.get(path, ()) if f.node.word == "arbor"), None)
            if fact is not None:
                start = begins.start + at
                span = Span(begins.file, start, start + len(path.rpartition(".")[2]))
                yield Place(span, fact, False, True)


def _claim(analysis: Analysis, span: Span) -> Iterator[Place]:
    """The trains, dials and figures that a sentence behind `expect` is about."""
    text = analysis.sources[span.file].text[span.start : span.end]
    for found in _DOTTED.finditer(text):
        where = Span(span.file, span.start + found.start(), span.start + found.end())
        yield from _path(analysis, where, found[0])
    for pattern, word in ((_CLAIM_TRAIN, "train"), (_CLAIM_DIAL, "dial")):
        match = pattern.match(text)
        if match is not None:
            where = Span(span.file, span.start + match.start(1), span.start + match.end(1))
            yield from _called(analysis, word, match[1], where)


def included_file(analysis: Analysis, file: str, offset: int) -> str | None:
    """The file that an `include` line at a place reads; None where there is no such line or no such file."""
    line = analysis.line_at(file, offset)
    fact = next(iter(analysis.facts_of(file, line)), None) if line is not None else None
    asked = fact.node.text() if fact is not None and fact.node.word == "include" else None
    if asked is None:
        return None
    inner = normpath(f"{file.rpartition('/')[0] or '.'}/{asked}")
    return next((one for one in analysis.sources if normpath(one) == inner), None)
