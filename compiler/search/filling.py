"""A description with every gap filled by something plausible: what could be worked out if all were known.

Only the figures of the filled description are looked at: which facts each rests on and how much of its uncertainty
comes from each. The values themselves are never shown, and nothing is written into the keeper's file.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from countwheel import vocabulary
from countwheel.forms import Either, Element, Maybe, Part, pattern
from countwheel.model.clock import Clock
from countwheel.model.node import Node, slug
from countwheel.model.values import Unknown
from countwheel.source import Source
from countwheel.vocabulary import Entry

ASIDE = re.compile(r"^(?P<path>[\w.]+) \((?P<part>\w+)\)$")
_NUMBER = r"(?:\d+\s+\d+/\d+|\d+/\d+|\d+(?:\.\d+)?[½¼¾⅓⅔⅛⅜⅝⅞]?|[½¼¾⅓⅔⅛⅜⅝⅞])"


class Insertion(NamedTuple):
    """Text to put in the place of the characters from `start` to `end` of a file."""

    file: str
    start: int
    end: int
    text: str


def filled(
    clock: Clock,
    missing: Iterator[str] | tuple[str, ...],
    counts: Mapping[str, int],
    sources: Mapping[str, Source],
) -> dict[str, str]:
    """The texts of all files with their gaps filled. `missing` are paths of which nothing is said.

    `counts` are the likeliest counts of lost wheels, by path.
    """
    return inserted(sources, (*_unknowns(clock.root, counts), *_unstated(clock, tuple(missing), sources)))


def inserted(sources: Mapping[str, Source], edits: Iterable[Insertion]) -> dict[str, str]:
    """The texts of all files with the edits made, which do not lap over each other."""
    made = {name: source.text for name, source in sources.items()}
    # From the end of each file on, so that the places before stay where they are.
    for edit in sorted(edits, key=lambda one: (-one.start, -one.end)):
        text = made[edit.file]
        made[edit.file] = text[: edit.start] + edit.text + text[edit.end :]
    return made


# -- what is said not to be known ------------------------------------------------
def _unknowns(root: Node, counts: Mapping[str, int]) -> Iterator[Insertion]:
    words = vocabulary.load()

    def below(owner: Node) -> Iterator[Insertion]:
        for node in owner.facts:
            if node.word in ("log", "season", "expect", "contact", "care", "rota"):
                continue
            entry = words.under(_block(owner)).get(node.word) if words.may_own(_block(owner)) else None
            for part, value in node.values.items():
                if isinstance(value, Unknown) and entry is not None and value.written.startswith("?"):
                    aside = "" if part in ("value", "teeth") else f" ({part})"
                    text = _plausible(entry, part, value, counts.get(f"{node.path}{aside}"))
                    if text:
                        yield Insertion(value.span.file, value.span.start, value.span.end, text)
            yield from below(node)

    # several dials stated in one line share their facts: each place is filled once
    yield from dict.fromkeys(below(root))


def _block(node: Node) -> str:
    return node.word or "movement"


def _plausible(entry: Entry, part: str, value: Unknown | None, count: int | None) -> str:
    if count is not None:
        return str(count)
    written = value.written.lstrip("? ") if value is not None else ""
    found = re.findall(_NUMBER, written)
    if found and value is not None:
        unit = re.sub(rf"{_NUMBER}|\.\.|\babout\b|\bor\b|\bodd\b|\beven\b", " ", written).strip()
        number = found[0]
        if (
            value.parity is not None
            and number.isdigit()
            and (int(number) % 2 == 1) != (value.parity == "odd")
        ):
            number = str(int(number) + 1)
        return f"{number} {unit}".strip()
    return _of_example(entry, part)


def _of_example(entry: Entry, part: str) -> str:
    """The piece of the vocabulary's example that stands for this part of the line; '' where it cannot be told."""
    said = entry.example.removeprefix(entry.word).strip()
    elements = pattern(entry.takes)
    if len(elements) == 1 and isinstance(elements[0], Part):
        return said
    one = _part(elements, part)
    if one is None:
        return ""
    if one.kind == "choice":
        choices = vocabulary.load().choices.get(one.choice, {})
        return next((word for word in choices if word in said), next(iter(choices), ""))
    numbers = re.search(rf"{_NUMBER}(?:\s*[^\W\d]+[²³]?)?", said)
    if one.kind in ("count", "number"):
        return re.sub(r"[^\d./ ]", "", numbers[0]).strip() if numbers else "12"
    return numbers[0] if numbers else ""


def _part(elements: tuple[Element, ...], name: str) -> Part | None:
    for element in elements:
        if isinstance(element, Part) and element.name == name:
            return element
        inside: tuple[tuple[Element, ...], ...] = ()
        if isinstance(element, Maybe):
            inside = (element.inside,)
        elif isinstance(element, Either):
            inside = element.ways
        for way in inside:
            found = _part(way, name)
            if found is not None:
                return found
    return None


# -- what nothing is said of -------------------------------------------------------
def _unstated(clock: Clock, missing: tuple[str, ...], sources: Mapping[str, Source]) -> Iterator[Insertion]:
    """A line for each fact that is not there, under the fact that should own it."""
    owners = owners_of(clock)
    lines: dict[int, list[str]] = {}
    at: dict[int, tuple[str, int]] = {}
    for path in missing:
        owner, steps = nearest_owner(path, owners)
        source = sources.get(owner.span.file) if owner is not None else None
        if owner is None or source is None or not steps:
            continue
        made = [entry.example for entry in entries_below(owner, steps)]
        if not made:
            continue
        indent, place = below_owner(owner, source)
        lines.setdefault(id(owner), []).extend(
            f"{indent}{'  ' * deep}{line}" for deep, line in enumerate(made)
        )
        at[id(owner)] = (source.file, place)
    for key, several in lines.items():
        file, place = at[key]
        yield Insertion(file, place, place, "".join(f"\n{line}" for line in several))


def owners_of(clock: Clock) -> dict[str, Node]:
    """Every stated fact by its path, the barrel by its arbor's where both have one."""
    found: dict[str, Node] = {}
    for node in clock.root.walk():
        if node.path and (node.path not in found or node.word == "barrel"):
            found[node.path] = node
    return found


def nearest_owner(path: str, owners: Mapping[str, Node]) -> tuple[Node | None, list[str]]:
    """The deepest stated fact on the way to a path, and the steps that are left."""
    steps = path.split(".")
    for cut in range(len(steps) - 1, 0, -1):
        owner = owners.get(".".join(steps[:cut]))
        if owner is not None:
            return owner, steps[cut:]
    return None, steps


def entries_below(owner: Node, steps: list[str]) -> list[Entry]:
    """The vocabulary's entries for the steps below an owner; [] where one is not a word of the language."""
    words = vocabulary.load()
    block, found = _block(owner), []
    for step in steps:
        known = words.under(block) if words.may_own(block) else {}
        entry = next((one for spelling, one in known.items() if slug(spelling) == step), None)
        if entry is None:
            return []
        found.append(entry)
        block = entry.block
    return found


def below_owner(owner: Node, source: Source) -> tuple[str, int]:
    """The indentation of what stands under a fact, and the end of its own line."""
    line_end = source.text.find("\n", owner.word_span.start)
    line_end = len(source.text) if line_end < 0 else line_end
    inner = next((fact for fact in owner.facts if fact.span.file == source.file), None)
    if inner is not None and source.place(inner.span.start).line > source.place(owner.span.start).line:
        column = source.place(inner.span.start).column - 1
    else:
        column = source.place(owner.span.start).column + 1
    return " " * column, line_end
