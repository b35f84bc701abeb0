"""Every path, bell and dial that a fact refers to is a part of this clock; the nearest is offered where it is not."""

from __future__ import annotations

from countwheel.diagnostics.record import Diagnostic
from countwheel.diagnostics.registry import say
from countwheel.diagnostics.suggest import nearest
from countwheel.model.clock import Clock
from countwheel.model.node import Node, slug
from countwheel.model.values import Moment, Unknown, Value

MOST_GUESSES = 40  # a nearest path is looked for among all there are: no keeper reads more of them
_TURNED_BY = ("driven by", "drives", "from", "let off by", "snail", "after")
_TURNING = {
    "arbor",
    "barrel",
    "chime barrel",
    "count wheel",
    "escape wheel",
    "fly",
    "legs",
    "pinion",
    "pins",
    "wheel",
}
_TURNING |= {"cannon pinion", "hour wheel", "minute pinion", "minute wheel", "shaft", "snail"}
_PATHS = ("driven by", "drives", "from", "let off by", "snail", "after", "of")


def check_paths(clock: Clock, report: list[Diagnostic]) -> None:
    """Every path that a fact refers to leads to a part of this clock; the nearest is offered where it does not."""
    if "*" in clock.damaged:
        return  # a whole block had to be left out: what it named is not known
    known = {node.path.lower() for node in clock.root.walk() if node.path}
    known |= {arbor.name for train in clock.trains for arbor in train.arbors}
    words: dict[str, set[str]] = {}
    for node in clock.root.walk():
        words.setdefault(node.path.lower(), set()).add(node.word)
    whole = sorted(name for name in known if "." in name)
    guesses = MOST_GUESSES
    lines_lost = any(one.code[:2] in ("M1", "M2") and one.severity == "error" for one in report)
    for node in clock.root.walk():
        for part, names in (("value", _PATHS), ("of", ("photo", "<change>")), ("to", ("centre distance",))):
            value = node.values.get(part)
            if node.word not in names or value is None or isinstance(value, (Unknown, Moment)):
                continue
            path = value.written.lower()
            if path in known:
                what = _not_turning(node, path, words)
                if what:
                    report.append(_wrong_kind(value, what))
                continue
            guesses -= 1
            if (
                path.split(".")[0] in clock.damaged
                and lines_lost
                and not (guesses >= 0 and nearest(path, whole))
            ):
                continue  # what it names may stand in a line that had to be left out
            near = _near_path(path, whole) if guesses >= 0 else ()
            report.append(
                say(
                    "M402",
                    value.span,
                    f"There is no part of this clock called `{value.written}`.",
                    label="leads nowhere",
                    hints=(
                        (f"write {near[0]}",)
                        if near
                        else (
                            "a path is the train, the arbor and the part: going.centre, strike.barrel.weight",
                        )
                    ),
                )
            )
    bells = {slug(bell.label or "") for bell in clock.root.all("bell")}
    for node in clock.root.walk():
        if node.word == "on" and "name" in node.values:
            name = node.text(part="name") or ""
            if slug(name) not in bells:
                near = nearest(slug(name), sorted(bells))
                report.append(
                    say(
                        "M406",
                        node.values["name"].span,
                        f"There is no bell called {name}.",
                        label="which bell?",
                        hints=(f"write {near[0]}",) if near else ("write a block `bell` with that name",),
                    )
                )
    dials = {slug(dial.label or "") for dial in clock.root.all("dial")}
    for way in clock.leading_off:
        said = way.node.get("to")
        for name in way.dials:
            if said is not None and name not in dials:
                near = nearest(name, sorted(dials))
                report.append(
                    say(
                        "M406",
                        said.values["dials"].span,
                        f"There is no dial called {name}.",
                        label="which dial?",
                        hints=(f"write {near[0]}",) if near else (),
                    )
                )


def _not_turning(node: Node, path: str, words: dict[str, set[str]]) -> str:
    """The word of what a path leads to, where something that turns is wanted and that does not; else ''."""
    found = words.get(path)
    if node.word not in _TURNED_BY or not found or found & _TURNING:
        return ""
    return min(found)


def _wrong_kind(value: Value, what: str) -> Diagnostic:
    return say(
        "M402",
        value.span,
        f"`{value.written}` is the path of a {what}, and not of an arbor or a wheel.",
        label="not a thing that turns",
        hints=("write the train and the arbor: going.centre; or the wheel on it: going.centre.great",),
    )


def _near_path(path: str, known: list[str]) -> tuple[str, ...]:
    """The path most likely meant: one that ends alike in the same train, else the nearest by letters."""
    train = path.partition(".")[0]
    alike = [
        one for one in known if one.startswith(f"{train}.") and one.endswith(f".{path.rsplit('.', 1)[-1]}")
    ]
    return tuple(alike[:1]) or nearest(path, known) or nearest(path.rsplit(".", 1)[0], known)
