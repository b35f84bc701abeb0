"""Where the boxes and arrows of a graph go: DOT text in, places out, without an installed Graphviz.

The engine is the `graphviz-pure` command, which comes inside a wheel of that
name and writes the same bytes on every platform. Only where that package is
missing is a `dot` or `graphviz-pure` on the PATH used instead; `Places.engine` says which it
was. The engine is given ids and sizes only, never a word of the description,
so no font and no label can move or break a drawing. Nothing is written to
disk and nothing is fetched.
"""

from __future__ import annotations

import json
import subprocess
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

Point = tuple[float, float]

#: The distribution that ships the engine, and its command.
PACKAGE = "graphviz-pure"
#: Seconds after which an engine is taken to be stuck; a drawing takes a few milliseconds.
TIME_LIMIT = 30


class NoLayoutEngine(RuntimeError):
    """No engine could be run; the message says what to install, in plain words."""


@dataclass(frozen=True, slots=True)
class Route:
    """The way of one link: a chain of cubic Bézier pieces (1 + 3n points), and the arrow's tip."""

    points: tuple[Point, ...]
    tip: Point
    label: Point | None


@dataclass(frozen=True, slots=True)
class Places:
    """A laid-out graph, in points, with y downwards from the top left corner.

    `boxes` maps a node's name to its middle; `routes` an edge's id to its way.
    """

    width: float
    height: float
    boxes: Mapping[str, Point]
    routes: Mapping[str, Route]
    engine: str


@lru_cache(maxsize=1)
def _shipped() -> tuple[str, str] | None:
    """The command inside the installed wheel and its name with the version; None where not installed."""
    from importlib import metadata

    try:
        found = metadata.distribution(PACKAGE)
    except metadata.PackageNotFoundError:
        return None
    for file in found.files or ():
        if file.name in (PACKAGE, f"{PACKAGE}.exe"):
            command = file.locate().resolve()  # type: ignore[attr-defined]
            if command.is_file():
                return str(command), f"{PACKAGE} {found.version}"
    return None


def find_engine() -> tuple[str, str]:
    """The command to run and its name for reports.

    Raises NoLayoutEngine where there is neither the package nor a `dot` on the PATH.
    """
    shipped = _shipped()
    if shipped is not None:
        return shipped
    import shutil

    for name in (PACKAGE, "dot"):
        command = shutil.which(name)
        if command is not None:
            return command, f"{name} of this machine"
    raise NoLayoutEngine(
        f"The drawings need the package {PACKAGE}, which is missing. Install countwheel again, "
        f"or install {PACKAGE}, or put Graphviz's dot on the PATH."
    )


def run(dot: str, output: str = "json0") -> tuple[str, str]:
    """What the engine makes of the DOT text, in one of its output formats (`json0`, `svg`, ...).

    Returns the text and the engine's name. Raises NoLayoutEngine where the
    engine is missing, does not start, takes too long or refuses the text.
    """
    command, name = find_engine()
    try:
        done = subprocess.run(
            [command, "-Kdot", f"-T{output}"],
            input=dot.encode("utf-8"),
            capture_output=True,
            timeout=TIME_LIMIT,
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired) as fault:
        raise NoLayoutEngine(f"{name} could not lay the drawing out: {fault}") from fault
    if done.returncode != 0:
        said = done.stderr.decode("utf-8", "replace").strip()
        raise NoLayoutEngine(f"{name} could not lay the drawing out: {said}")
    return done.stdout.decode("utf-8"), name


def lay_out(dot: str) -> Places:
    """The places of every node (by name) and edge (by its `id`) of a DOT graph. Raises as `run` does."""
    text, engine = run(dot)
    graph = json.loads(text)
    _, _, width, height = (float(part) for part in graph["bb"].split(","))

    def point(pair: str) -> Point:
        x, y = pair.split(",")
        return float(x), height - float(y)

    boxes = {node["name"]: point(node["pos"]) for node in graph.get("objects", ()) if "pos" in node}
    routes: dict[str, Route] = {}
    for edge in graph.get("edges", ()):
        if "pos" not in edge:
            continue
        marks = edge["pos"].split()
        points = tuple(point(mark) for mark in marks if mark[0] not in "es")
        # 'e,x,y' is the tip of an arrow at the end; 's,x,y' of one at the start, of a link given backwards.
        tips = {mark[0]: point(mark[2:]) for mark in marks if mark[0] in "es"}
        if "s" in tips:
            points = points[::-1]
        tip = tips.get("s", tips.get("e", points[-1]))
        label = point(edge["lp"]) if "lp" in edge else None
        routes[edge["id"]] = Route(points, tip, label)
    return Places(width, height, boxes, routes, engine)
