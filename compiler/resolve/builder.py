"""A fact being put together, and small helps of those that put it together."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache

from countwheel.forms import Part, parts, pattern
from countwheel.model.node import slug
from countwheel.model.values import UNSTATED, Absent, AnyValue, Evidence
from countwheel.source import Span
from countwheel.syntax.tree import Line
from countwheel.vocabulary import Entry

ROOT = Entry(("",), "movement", "", "", False, False, "movement", "", "the description", ())
# A label alone names these; of all others word and label together do: `dial.north`, but `going.centre`.
OWN_NAMES = ("train", "arbor", "wheel", "pinion", "shaft", "loose wheel", "loose weight", "pulley", "hammer")


@dataclass(slots=True, eq=False)
class Builder:
    """A fact being put together. `missing` is True where its line could not be read."""

    entry: Entry
    path: str
    line: Line | None
    written: str
    span: Span
    word_span: Span
    label: str | None = None
    values: dict[str, AnyValue] = field(default_factory=dict)
    evidence: Evidence = UNSTATED
    parent: Builder | None = None
    facts: list[Builder] = field(default_factory=list)
    others: list[Builder] = field(default_factory=list)
    named: dict[tuple[str, str], Builder] = field(default_factory=dict)  # its facts by word and label
    some: dict[str, Builder] = field(default_factory=dict)  # the first of each word that is there
    moved: bool = False  # its line stood at another depth than that of its owner's facts
    none: dict[str, Builder] = field(default_factory=dict)  # the first of each word that is said not to be

    def add(self, fact: Builder) -> None:
        self.facts.append(fact)
        self.named.setdefault((fact.entry.word, (fact.label or "").lower()), fact)
        (self.none if fact.is_denied else self.some).setdefault(fact.entry.word, fact)

    @property
    def is_denied(self) -> bool:
        """Whether its line says that there is none: `no minute hand`."""
        return isinstance(self.values.get("value"), Absent)

    @property
    def last(self) -> Builder | None:
        return self.facts[-1] if self.facts else None


def parts_of(entry: Entry) -> tuple[Part, ...]:
    """Every part that the value of a word may have, in the order of its form."""
    return parts(entry.takes)


@cache
def _value_parts(takes: str) -> tuple[str, ...]:
    names = [part.name for part in parts(takes) if part.kind not in ("name", "names", "choice")]
    return tuple(sorted(names, key=lambda name: name not in ("value", "teeth")))


def value_parts(entry: Entry) -> tuple[str, ...]:
    """The names of the parts that are values and not names, the main one first."""
    return _value_parts(entry.takes)


def needed_parts(entry: Entry) -> tuple[str, ...]:
    """The value parts that a line of this word must have, and the main one: what an unknown stands in for."""
    must = [part.name for part in pattern(entry.takes) if isinstance(part, Part)]
    names = value_parts(entry)
    return tuple(name for index, name in enumerate(names) if index == 0 or name in must)


def leading_words(line: Line) -> list[str]:
    words: list[str] = []
    for item in line.items:
        if item.kind != "word":
            break
        words.append(item.text)
    return words


def path_of(entry: Entry, label: str | None, home: Builder) -> str:
    above = home.path
    word = slug(entry.word)
    if home.entry.word == "arbor" and entry.owners[0] == "train" and home.parent is not None:
        above = home.parent.path  # winding gear belongs to the train, whichever arbor it is written under
    if entry.word == "barrel" and home.parent is not None:
        # The drum and its arbor share one name, `going.barrel`, whatever the arbor is called.
        return f"{home.parent.path}.barrel"
    if label is None:
        return f"{above}.{word}" if above else word
    own = slug(label)
    if entry.word in OWN_NAMES:
        return f"{above}.{own}" if above else own
    return f"{above}.{word}.{own}" if above else f"{word}.{own}"


def called(builder: Builder) -> str:
    """A fact as a keeper would name it: `the barrel of going`, `arbor third of going`."""
    if builder.parent is None:
        return "the description itself"
    if builder.entry.word == "countwheel":
        return "the version line"
    name = f"{builder.entry.word} {builder.label}" if builder.label else f"the {builder.entry.word}"
    train: Builder | None = builder.parent
    while train is not None and train.entry.word != "train":
        train = train.parent
    return f"{name} of {train.label}" if train is not None and train is not builder and train.label else name
