"""Makes descriptions from the vocabulary and changes them by the tokens of the language, from one source of chance.

Whoever calls gives the chance (`random.Random` or what behaves like it), so that an input can be made again.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path
from random import Random

from countwheel import forms, units, vocabulary

ROOT = Path(__file__).parents[2]
LONGEST = 60_000  # characters of an input: what is longer has tests of its own


def _several(*rows: str, sign: str = " ") -> tuple[str, ...]:
    return tuple(one for row in rows for one in row.split(sign))


NAMES = _several("going strike chime centre barrel locking third a b c north")
WHOLE = _several("0 1 2 3 4 6 8 10 12 14 16 24 30 40 48 60 72 78 84 96 120 144")
BROKEN = _several("0.5 1.5 2.25 10 1/2 3/4 2 1/4 5½ 0.001 250 1000 37.5 100")
HUGE = _several(
    "0 -1 -0 1e30 -1e30 1e308 1e-308 1e99 9e999 1000000000000000000000000000000 NaN nan inf -inf Infinity 1/0 0/0",
    "0/1 1/999999999 ½ 1,5 1.2.3 0x10 1_000 ١٢ ² 1e 99999999999999999999/3 0.00000000000000000001 −3 +3 1e-30",
)
EXTREME = _several("1e-99 1e-30 1e-9 1e9 1e30 1e99 1e-300 1e300 0 10000 1/1000000 99999999999999999999")
EVIDENCE = _several(
    "counted;measured;told;read;estimated;assumed;calculated;lost;doubtful;perhaps;counted on 2026-05-02",
    "measured by A. Keeper;about;± 1;± 1 %;± 0;± 1e99 mm;+/- 1/2;measured on 2026-05-02 by B;# a remark",
    'told in 1931;from "the drawing"',
    sign=";",
)
ODD = _several(
    '? .. ... 1..9 ? ? odd ? 1..9 ? about 50 ? 3 or 4 ? 9..8 " """ # ± % ° , ; : . .. / \\ | { } [ ] ( ) < > &',
    "\t \x00 \x07 \x1b \u2028 \x85 \x0b \ufeff \u202e \u0301 𝄞 ｆｕｌｌ ß İ \ud7ff \U0010ffff",
    "no of to at by and or every from per",
)
FILES = _several(
    "a.movement b.movement c.movement d/d.movement ./a.movement d/../a.movement ../x /a e x.movement"
)
DATES = _several(
    "2026-05-02 1931 1880s 2026-02-30 0001-01-01 9999-12-31 2026-13-01",
    "00:00 24:00 25:61 09:00 1 May 29 February 31 April",
)
_TOKEN = re.compile(r'"[^"\n]*"|\s+|[^\s"]+|"')
_NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?:e\d+)?")


@cache
def samples() -> tuple[str, ...]:
    """Whole descriptions: the demos, the cases, and those that stand beside the figures of others."""
    places = ("tests/cases", "tests/outside", "specs", "tests/checks")
    paths = [path for place in places for path in sorted((ROOT / place).rglob("*.movement"))]
    return tuple(path.read_text(encoding="utf-8") for path in paths)


@cache
def pieces() -> tuple[str, ...]:
    """Runs of lines of the samples, each a part at the margin with all below it, and the small ones inside those."""
    found: dict[str, None] = {}
    for text in samples():
        lines = text.split("\n")
        for at, line in enumerate(lines):
            margin = len(line) - len(line.lstrip())
            if not line.strip() or line.lstrip().startswith("#"):
                continue
            end = at + 1
            while end < len(lines) and (
                len(lines[end]) - len(lines[end].lstrip()) > margin or not lines[end]
            ):
                end += 1
            if end - at <= 14 and (margin == 0 or end - at > 2):
                found["\n".join(row[margin:] for row in lines[at:end]).rstrip()] = None
    return tuple(found)


@cache
def _tokens() -> tuple[str, ...]:
    words = vocabulary.load()
    spelt = {entry.word for entry in words.entries if entry.fixed} | set(units.units())
    return tuple(sorted(spelt))


@cache
def _owners() -> tuple[str, ...]:
    return tuple(sorted(vocabulary.load().owners))


@cache
def _under(owner: str) -> tuple[vocabulary.Entry, ...]:
    known = vocabulary.load().under(owner)
    return tuple(entry for word, entry in sorted(known.items()) if word == entry.word and word != "include")


@cache
def _measures(dimension: str) -> tuple[str, ...]:
    return units.preferred_forms(dimension) or ("mm",)


class Maker:
    """Makes and changes descriptions. `liked` are inputs worth changing further; whoever runs it adds to them."""

    def __init__(self, dice: Random, liked: list[str] | None = None) -> None:
        self.dice = dice
        self.liked = liked if liked is not None else []

    # -- making ----------------------------------------------------------------------
    def value(self, kind: str, choice: str = "") -> str:
        pick, chance = self.dice.choice, self.dice.random
        if chance() < 0.02:
            return pick((*HUGE, *ODD, *DATES))
        if kind == "choice":
            return pick(sorted(vocabulary.load().choices[choice]))
        if kind in ("count", "counts"):
            if chance() < 0.1:
                return pick(("?", "? 20..90", "? odd", "? about 60", "? 3 or 4"))
            return pick(WHOLE)
        if kind == "number":
            return pick(BROKEN) if chance() < 0.85 else pick(EXTREME)
        if kind in ("name", "names"):
            return pick(NAMES) if chance() < 0.9 else f'"{pick(NAMES)} {pick(NAMES)}"'
        if kind in ("words", "any"):
            return pick((*NAMES, *BROKEN, "cast iron", "brass", "Europe/London", '"of old"', "10 mm"))
        if kind == "text":
            return pick(('"so"', '"a longer text of some words"', '""', '"photos/a.jpg"', f'"{pick(FILES)}"'))
        if kind == "path":
            return pick(NAMES) if chance() < 0.3 else f"{pick(NAMES)}.{pick(NAMES)}"
        if kind in ("date", "day", "time of day"):
            usual = {
                "date": "2026-05-02 1931",
                "day": "1.May 29.February 31.December",
                "time of day": "09:00 23:59",
            }
            return pick(usual[kind].split()).replace(".", " ") if chance() < 0.9 else pick(DATES)
        if kind == "claim":
            return pick(
                ("going lasts at least 8 days", "going.rate about 1", "a.turns exactly 2", "going.a is 3")
            )
        if kind == "events":
            return pick(
                ("found 3 s fast at 11 °C wound", "wound 8 turns", "set to time", "oiled", "tray +3 g")
            )
        if kind == "changes":
            return pick(("1 2 3 4", "1 2 3 4  4 3 2 1", "36 . 1", "1"))
        unknown = chance()
        if unknown < 0.08:
            return "?" if unknown < 0.05 else "lost"
        number = pick(BROKEN) if chance() < 0.85 else pick(EXTREME)
        return f"{number} {pick(_measures(kind))}"

    def _written(self, elements: Sequence[forms.Element]) -> list[str]:
        words: list[str] = []
        for one in elements:
            if isinstance(one, forms.Literal):
                words.append(one.word)
            elif isinstance(one, forms.Maybe):
                words += self._written(one.inside) if self.dice.random() < 0.5 else []
            elif isinstance(one, forms.Either):
                words += self._written(self.dice.choice(one.ways))
            else:
                words.append(self.value(one.kind, one.choice))
        return words

    def line(self, entry: vocabulary.Entry) -> str:
        """A line of one word, its value by its form or as the vocabulary's example has it."""
        if self.dice.random() < 0.3:
            return entry.example
        first = (
            entry.word
            if entry.fixed
            else self.dice.choice(("oil the pivots every 3 months", "2026-05-02 09:00"))
        )
        words = [first, *self._written(forms.pattern(entry.takes))] if entry.takes else [first]
        if self.dice.random() < 0.12:
            words.append(self.dice.choice(EVIDENCE))
        return " ".join(words)

    def block(self, owner: str, depth: int, most: int) -> list[str]:
        """Lines under an owner, `most` at most with all below them."""
        there = _under(owner)
        lines: list[str] = []
        while len(lines) < most and self.dice.random() < 0.85:
            entry = self.dice.choice(there)
            lines.append("  " * depth + self.line(entry))
            if depth < 5 and vocabulary.load().may_own(entry.block) and self.dice.random() < 0.8:
                lines += self.block(entry.block, depth + 1, (most - len(lines)) // 2 + 1)
        return lines[: most + 1]

    def chain(self) -> list[str]:
        """A train whose arbors follow one another, as the figures need it, short."""
        rows = [f"train {self.dice.choice(NAMES)}"]
        names = self.dice.sample(NAMES, self.dice.randint(1, 3))
        for number, name in enumerate(names):
            rows.append(f"  arbor {name}")
            rows += [f"    pinion {self.value('count')}"] if number else ["    barrel", "      diameter 8 in"]
            rows.append(f"    {self.dice.choice(('wheel', 'escape wheel'))} {self.value('count')}")
            rows += self.block("arbor", 2, 1) if self.dice.random() < 0.3 else []
        return rows

    def shorter(self, texts: Sequence[str]) -> str:
        """The shorter of two taken by chance: many small inputs find more in the same time."""
        return min(self.dice.choice(texts), self.dice.choice(texts), key=len)

    def description(self) -> str:
        """A small description, half of them by rule and half of pieces of the samples."""
        most = self.dice.choice((1, 1, 2, 2, 3, 3, 4, 8))
        rows = ["countwheel 1", 'clock "A"'] if self.dice.random() < 0.9 else []
        if self.dice.random() < 0.03:
            rows.append(f'include "{self.dice.choice(FILES)}"')
        how = self.dice.random()
        if how < 0.35:
            rows += self.block("movement", 0, most)
        elif how < 0.5:
            rows += self.chain()
        else:
            rows += self.shorter(pieces()).split("\n")
            rows += self.shorter(pieces()).split("\n") if self.dice.random() < 0.2 else []
        return "\n".join(rows) + "\n"

    # -- changing --------------------------------------------------------------------
    def mutated(self, text: str, times: int = 0) -> str:
        """The text changed a few times over."""
        for _ in range(times or self.dice.choice((1, 1, 1, 2, 2, 3, 5, 8))):
            text = self.dice.choice(_CHANGES)(self, text)[:LONGEST]
        return text

    def changed_token(self, text: str) -> str:
        tokens = list(_TOKEN.finditer(text))
        if not tokens:
            return self.dice.choice(ODD)
        found = self.dice.choice(tokens)
        return text[: found.start()] + self.dice.choice(self._new()) + text[found.end() :]

    def _new(self) -> Sequence[str]:
        return self.dice.choice((_tokens(), _tokens(), HUGE, ODD, EVIDENCE, DATES, NAMES, WHOLE))

    def added_token(self, text: str) -> str:
        at = self.dice.randint(0, len(text))
        return f"{text[:at]} {self.dice.choice(self._new())} {text[at:]}"

    def changed_number(self, text: str) -> str:
        found = list(_NUMBER.finditer(text))
        if not found:
            return self.added_token(text)
        number = self.dice.choice(found)
        new = self.dice.choice((HUGE, EXTREME, WHOLE, BROKEN, ("?", "? 1..9", "lost", "-3", "0")))
        return text[: number.start()] + self.dice.choice(new) + text[number.end() :]

    def every_number(self, text: str) -> str:
        new = self.dice.choice((*HUGE, *EXTREME))
        return _NUMBER.sub(lambda found: new if self.dice.random() < 0.6 else found[0], text)

    def swapped_tokens(self, text: str) -> str:
        tokens = _TOKEN.findall(text)
        if len(tokens) > 1:
            one, other = self.dice.randrange(len(tokens)), self.dice.randrange(len(tokens))
            tokens[one], tokens[other] = tokens[other], tokens[one]
        return "".join(tokens)

    def changed_unit(self, text: str) -> str:
        known = units.units()
        found = [one for one in _TOKEN.finditer(text) if one[0] in known]
        if not found:
            return self.changed_number(text)
        one = self.dice.choice(found)
        return text[: one.start()] + self.dice.choice(sorted(known)) + text[one.end() :]

    def changed_lines(self, text: str) -> str:
        lines = text.split("\n")
        at, to = self.dice.randrange(len(lines)), self.dice.randrange(len(lines))
        how = self.dice.randrange(8)
        if how == 0:
            del lines[at]
        elif how == 1:
            lines.insert(to, lines[at])
        elif how == 2:
            lines[at], lines[to] = lines[to], lines[at]
        elif how == 3:
            lines[at] = self.dice.choice((" ", "  ", "    ", "\t", " \t", "\u00a0")) + lines[at]
        elif how == 4:
            lines[at] = lines[at][self.dice.randint(1, 4) :]
        elif how == 5:
            lines[at] = lines[at][: self.dice.randint(0, len(lines[at]))]
        elif how == 6:
            lines[at:at] = [lines[at]] * self.dice.choice((2, 3, 12))
        else:
            del lines[at : at + self.dice.randint(1, 9)]
        return "\n".join(lines)

    def added_line(self, text: str) -> str:
        lines = text.split("\n")
        at = self.dice.randint(0, len(lines))
        owner = self.dice.choice(_owners())
        margin = len(lines[at - 1]) - len(lines[at - 1].lstrip()) if lines else 0
        margin += self.dice.choice((0, 0, 2, 2, -2))
        lines.insert(at, " " * max(margin, 0) + self.line(self.dice.choice(_under(owner))))
        return "\n".join(lines)

    def spliced(self, text: str) -> str:
        """A piece of another description in this one, as far in as some line of it."""
        lines = text.split("\n")
        at = self.dice.randint(0, len(lines))
        margin = " " * self.dice.choice((0, 0, 0, 2, 4))
        lines[at:at] = [margin + row for row in self.dice.choice(pieces()).split("\n")]
        return "\n".join(lines)

    def crossed(self, text: str) -> str:
        other = self.dice.choice(self.liked or pieces())
        return text[: self.dice.randint(0, len(text))] + other[self.dice.randint(0, len(other)) :]

    def flipped(self, text: str) -> str:
        """Some of its bytes changed; what is no UTF-8 then is read as a damaged sign."""
        data = bytearray(text.encode("utf-8", "replace")) or bytearray(b" ")
        for _ in range(self.dice.choice((1, 1, 2, 4))):
            data[self.dice.randrange(len(data))] ^= 1 << self.dice.randrange(8)
        return data.decode("utf-8", "replace").replace("\r", "\n")

    def drawn_out(self, text: str) -> str:
        """One token said many times over."""
        tokens = _TOKEN.findall(text)
        if tokens:
            at = self.dice.randrange(len(tokens))
            tokens[at] *= self.dice.choice((2, 7, 40, 300))
        return "".join(tokens)

    # -- the usual run ---------------------------------------------------------------
    def next(self) -> str:
        """An input: most are small, some are liked ones changed, a few are whole descriptions changed."""
        how = self.dice.random()
        if how < 0.6 or not self.liked:
            text = self.description()
            return text if self.dice.random() < 0.4 else self.mutated(text)
        if how < 0.998:
            return self.mutated(self.shorter(self.liked))
        return self.mutated(self.dice.choice(samples()))


_CHANGES: tuple[Callable[[Maker, str], str], ...] = (
    Maker.changed_token,
    Maker.changed_token,
    Maker.added_token,
    Maker.changed_number,
    Maker.changed_number,
    Maker.every_number,
    Maker.swapped_tokens,
    Maker.changed_unit,
    Maker.changed_lines,
    Maker.changed_lines,
    Maker.added_line,
    Maker.added_line,
    Maker.spliced,
    Maker.crossed,
    Maker.flipped,
    Maker.drawn_out,
)
