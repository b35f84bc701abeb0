"""The figures as Markdown: the printed reference, with a worked example of every kind of id."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from importlib import import_module
from typing import NamedTuple

from countwheel.emit import figure_text
from countwheel.figures import MECHANISMS, leading
from countwheel.figures.book import Book
from countwheel.figures.dials import called
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock


class Page(NamedTuple):
    """A page of the reference: its file, its title, and the files of `figures/` whose figures it holds."""

    file: str
    title: str
    mechanisms: tuple[str, ...]


PAGES = (
    Page("trains.md", "Counts, turns and the sizes of wheels", ("train", "deduced", "senses")),
    Page("new-wheels.md", "Sizes of a wheel or pinion that is to be cut anew", ("cutting",)),
    Page("power.md", "Barrel, fall and how long it goes", ("power", "work")),
    Page("line.md", "The line", ("line",)),
    Page("winding.md", "Winding", ("winding",)),
    Page("forces.md", "Turning forces and where the power goes", ("torque", "budget")),
    Page("pendulum.md", "The pendulum: length, beat and rating", ("gravity", "pendulum", "rating")),
    Page("warmth-and-air.md", "The pendulum in warmth and air", ("compensation",)),
    Page("escapement.md", "The escapement", ("escapement", "impulse")),
    Page("arc-and-margin.md", "The arc, the seasons and what is to spare", ("arc", "margin")),
    Page("remontoire.md", "The remontoire", ("remontoire",)),
    Page("striking.md", "Striking and chiming: counts and blows", ("striking", "strike_work", "chimes")),
    Page("fly.md", "The fly", ("fly",)),
    Page("dials.md", "Motion work, dials and their sizes", ("motion", "dials", "proportions")),
    Page("hands.md", "Hands: balance, wind and play", ("hands", "play")),
    Page("leading-off.md", "Joints in the leading off", ("joints",)),
    Page("summer-time.md", "Setting the clock", ("setting",)),
)

# Mechanisms in whose ids `barrel` and `fly` are arbors.
TURNING = ("deduced", "train", "senses", "striking", "torque", "cutting")

# What stands in an id for what the keeper named.
STANDS_FOR = (
    ("TRAIN", "a train by its name: `going`, `strike`, `chime`"),
    ("ARBOR", "an arbor of it by its name: `barrel`, `centre`, `escape`"),
    ("GEAR", "a wheel or pinion by its name, else `wheel` or `pinion`"),
    ("MESH", "a driving arbor and the arbor it drives: `centre_third`"),
    (
        "DRIVER",
        "in what a figure of a mesh is: the arbor or the gear that drives; DRIVEN, the one that it drives",
    ),
    ("HAMMER", "a hammer by its name, else `hammer`"),
    ("dial.NAME", "a dial by its name; without it, `dial`, where the clock's only dial has none"),
    (
        "STEP",
        "a step of the way to the dial: `bevel`, `central_bevel`, `gear`, numbered where there are several",
    ),
    ("JOINT", "a universal joint by its path"),
    ("season.NAME", "a season by its name: `winter`"),
)

# What can be worked out but is not asked for by any clock at hand: the id, what it is, what would have it.
UNSEEN: tuple[tuple[str, str, str], ...] = ()

# Ids that begin with this word in every clock, also in one that has a train of that name.
QUARTERS = ("quarters.before_the_hour", "quarters.time_taken", "quarters.fit")
_ON_THE_WAY = re.compile(r"\.(?:central_bevel|bevel|gear)(?:_\d+)?_turns_per_hour$")


class Found(NamedTuple):
    """A figure of a description with the pattern of its id and of its title, and the file that owns it."""

    pattern: str
    title: str
    mechanism: str
    figure: Figure


class Described(NamedTuple):
    """A description with its figures. `link` leads to it from the pages, `demo` tells one that teaches."""

    name: str
    link: str
    demo: bool
    found: tuple[Found, ...]


def owned(clock: Clock) -> Iterator[tuple[str, Figure]]:
    """Every figure of a clock, in the order worked out, with the name of the file in `figures/` that made it."""
    book = Book(clock)
    done = 0
    for mechanism in MECHANISMS:
        import_module(f"countwheel.figures.{mechanism}").work_out(book)
        figures = book.figures
        for figure in figures[done:]:
            yield mechanism, figure
        done = len(figures)


def patterns(clock: Clock) -> tuple[Found, ...]:
    """The figures of a clock, each with its id as it would be of any clock: `TRAIN.ARBOR.torque`."""
    named = _Named(clock)
    return tuple(
        Found(named.id(figure.id, mechanism), named.title(figure), mechanism, figure)
        for mechanism, figure in owned(clock)
    )


class _Named:
    """What the keeper of one clock gave names to, by path, with what stands for it."""

    def __init__(self, clock: Clock) -> None:
        self._blocks: dict[str, str] = {}  # paths that lead to the same in every mechanism
        self._turning: dict[str, str] = {}  # paths of arbors, some of which are also those of a barrel or fly
        self._pairs: dict[str, dict[str, str]] = {}  # of each mesh: what drives and what is driven
        self._dials = [called(dial) for dial in clock.dials if called(dial)]
        self._seasons = [node.label for node in clock.root.all("season") if node.label]
        for train in clock.trains:
            self._blocks |= {train.name.lower(): "TRAIN", train.node.path: "TRAIN"}
            self._blocks |= {hammer.path: "TRAIN.HAMMER" for hammer in train.facts("hammer")}
            for arbor in train.arbors:
                self._turning[arbor.path] = "TRAIN.ARBOR"
                self._turning |= {gear.path: "TRAIN.ARBOR.GEAR" for gear in arbor.gears}
            for mesh in train.meshes:
                self._turning[mesh.path] = "TRAIN.MESH"
                self._pairs[mesh.path] = {
                    mesh.driver_arbor: "DRIVER",
                    mesh.driver.path: "DRIVER",
                    mesh.driven_arbor: "DRIVEN",
                    mesh.driven.path: "DRIVEN",
                }
        self._blocks |= {dial.path: "dial.NAME" for dial in clock.dials}
        self._blocks |= {node.path: "season.NAME" for node in clock.root.all("season")}
        ids = leading.ids(clock.leading_off)
        for way in clock.leading_off:
            self._blocks[ids[id(way.node)]] = "leading_off"
            self._blocks |= {
                ids[id(step.node)]: "leading_off.JOINT" for step in way.steps if step.kind == "joint"
            }
        self._all = {**self._blocks, **self._turning}
        paths = "|".join(re.escape(path) for path in sorted(self._all, key=len, reverse=True) if "." in path)
        self._path = re.compile(rf"(?<![\w.])(?:{paths})(?![\w.])") if paths else None

    def id(self, id: str, mechanism: str) -> str:
        """`barrel` is an arbor where the wheels are looked at, elsewhere what the line is wound on."""
        if id in QUARTERS:
            return id
        known = self._all if mechanism in TURNING else self._blocks
        steps = id.split(".")
        for cut in range(len(steps) - 1, 0, -1):
            said = known.get(".".join(steps[:cut]))
            if said:
                return _ON_THE_WAY.sub(".STEP_turns_per_hour", ".".join((said, *steps[cut:])))
        return id

    def title(self, figure: Figure) -> str:
        known = {**self._all, **self._pairs.get(figure.id.rpartition(".")[0], {})}
        title = figure.title
        if self._path is not None:
            title = self._path.sub(lambda found: known[found[0]], title)
        for name in self._dials:
            title = title.replace(f"the {name} dial", "the NAME dial")
        for name in self._seasons:
            title = re.sub(rf"\bof {re.escape(name)}$", "of NAME", title)
        return title


def reference(descriptions: Iterable[Described]) -> dict[str, str]:
    """The pages by the names of their files, and the index `README.md`.

    The example of a pattern is the first that has a formula of its own, of
    the demos if they have it, else of the clocks from print; where another
    by the same formula is of known uncertainty and this is not, it is that.
    """
    kinds = _kinds(tuple(descriptions))
    made = {}
    index = [_INTRODUCTION]
    for page in PAGES:
        shown = {
            name: seen
            for name, seen in kinds.items()
            if seen[0][1].mechanism in page.mechanisms and _shown(seen)
        }
        if not shown:
            continue
        made[page.file] = f"# {page.title}\n\n{_BACK}\n" + "".join(
            _entry(name, seen) for name, seen in shown.items()
        )
        index.append(f"\n## {page.title}\n\n| id | what it is |\n|---|---|\n")
        for name, seen in shown.items():
            index.append(f"| [`{name}`]({page.file}#{anchor(name)}) | {_title(seen)} |\n")
    index.append(_waiting(kinds))
    made["README.md"] = "".join(index)
    return made


_BACK = "Each figure with the working of one example, as `countwheel figures` prints it. [All ids](README.md)"

_INTRODUCTION = (
    """# The figures

Every kind of figure that `countwheel figures` prints, by its id, with a link to an example worked out in full. What
stands in capitals is what the keeper named:

| in an id | stands for |
|---|---|
"""
    + "".join(f"| `{word}` | {meaning} |\n" for word, meaning in STANDS_FOR)
    + """
The examples are from the [demo clocks](../../README.md) and from clocks in `tests/outside/clocks`, whose counts are
in print. What a figure is worked out from is not the same in every clock: a double line, another escapement or
another shape of the bob gives another formula. Where the clocks here have several, the others are under the example.
"""
)

Seen = list[tuple[Described, Found]]


def anchor(pattern: str) -> str:
    """The name that a heading of the pattern has in a rendered page."""
    return re.sub(r"[^\w-]", "", pattern.lower())


def _kinds(descriptions: tuple[Described, ...]) -> dict[str, Seen]:
    """Every pattern in the order of the mechanisms, with all figures of it."""
    order = {mechanism: place for place, mechanism in enumerate(MECHANISMS)}
    kinds: dict[str, Seen] = {}
    for one in descriptions:
        for found in one.found:
            kinds.setdefault(found.pattern, []).append((one, found))
    return dict(sorted(kinds.items(), key=lambda item: order[item[1][0][1].mechanism]))


def _shown(seen: Seen) -> bool:
    return any(found.figure.value is not None for _, found in seen)


def _example(seen: Seen) -> tuple[Described, Found]:
    """The one to show of those with a value."""
    able = [pair for pair in seen if pair[1].figure.value is not None]
    first = min(able, key=lambda pair: (not pair[0].demo, _taken_over(pair[1].figure)))
    alike = [
        pair
        for pair in able
        if pair[0].demo == first[0].demo and pair[1].figure.formula == first[1].figure.formula
    ]
    return next((pair for pair in alike if pair[1].figure.uncertainty is not None), first)


def _title(seen: Seen) -> str:
    """What all figures of a pattern are: the example's title without what only some of them add to it."""
    full = _example(seen)[1].title
    return min((found.title for _, found in seen if full.startswith(found.title)), key=len)


def _entry(pattern: str, seen: Seen) -> str:
    one, found = _example(seen)
    lines = [
        f"\n## `{pattern}`\n",
        f"{found.title[:1].upper()}{found.title[1:]}. From [{one.name}]({one.link}):\n",
        f"```\n{figure_text.working([found.figure])}```",
    ]
    others: dict[str, str] = {}
    for other, at in seen:
        formula = at.figure.formula
        if formula != found.figure.formula and formula and at.figure.value is not None:
            others.setdefault(formula, _other(other, at.figure))
    if others:
        lines += ["\nBy other facts:\n", *others.values()]
    return "\n".join(lines) + "\n"


def _taken_over(figure: Figure) -> bool:
    """Whether it is a fact or another figure as it stands, with nothing worked out."""
    return [figure.formula] == [symbol for symbol, _ in figure.symbols]  # a formula that is one symbol


def _other(one: Described, figure: Figure) -> str:
    """Another formula; where it is a fact or a figure taken over as it stands, what that is."""
    what = f", {figure.symbols[0][1]}" if _taken_over(figure) else ""
    return f"* `{figure.formula}`{what}: `{figure.id}` of [{one.name}]({one.link})"


def _waiting(kinds: dict[str, Seen]) -> str:
    """The kinds that have a value in no clock, and those that no clock has."""
    rows = []
    for pattern, seen in kinds.items():
        if not _shown(seen):
            one, found = seen[0]
            missing = ", ".join(f"`{path}`" for path in found.figure.waits_for) or "values that allow it"
            rows.append(f"| `{pattern}` | {found.title} | {missing}, in [{one.name}]({one.link}) |\n")
    rows += [
        f"| `{pattern}` | {what} | a clock with {needed} |\n"
        for pattern, what, needed in UNSEEN
        if pattern not in kinds
    ]
    if not rows:
        return ""
    return "\n## No worked example yet\n\n| id | what it is | waits for |\n|---|---|---|\n" + "".join(rows)
