"""Clocks built by hand for the tests of the figures: facts as a nested dictionary of short texts.

`build({"pendulum": {"beat": q("1.25 s"), "bob": {"": w("lead"), "mass": q("210 lb ± 1 lb")}}})`
gives a Clock whose root has these facts. The key "" is the fact's own value.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, Literal

from countwheel.model.clock import Arbor, Clock, Role, Train
from countwheel.model.node import Node
from countwheel.model.values import (
    Absent,
    AnyValue,
    Count,
    Evidence,
    Number,
    Quantity,
    Text,
    Tolerance,
    Unknown,
    Words,
)
from countwheel.source import Span

SPAN = Span("test.movement", 0, 0)

# Written here from the definitions, apart from the table under test. British hundredweights.
_INCH, _LB = 0.0254, 0.45359237
SI: dict[str, tuple[str, float]] = {
    "mm": ("length", 1e-3),
    "m": ("length", 1.0),
    "in": ("length", _INCH),
    "ft": ("length", 12 * _INCH),
    "kg": ("mass", 1.0),
    "g": ("mass", 1e-3),
    "lb": ("mass", _LB),
    "oz": ("mass", _LB / 16),
    "cwt": ("mass", 112 * _LB),
    "s": ("time", 1.0),
    "min": ("time", 60.0),
    "h": ("time", 3600.0),
    "day": ("time", 86400.0),
    "°": ("angle", math.pi / 180),
    "rad": ("angle", 1.0),
    "m/s²": ("acceleration", 1.0),
    "N/mm²": ("stress", 1e6),
    "kN": ("force", 1e3),
    "N": ("force", 1.0),
    "kg/m": ("linear density", 1.0),
    "kg/m³": ("density", 1.0),
    "/°C": ("expansion", 1.0),
    "°C": ("temperature", 1.0),
    "%": ("percent", 1e-2),
}


def q(
    written: str,
    how: Literal["measured", "unstated", "estimated", "counted"] = "measured",
    stated: bool = True,
) -> Quantity:
    """A quantity from `10.25 in` or `10.25 in ± 0.0625 in` (one number, one unit, both sides)."""
    main, _, limit = written.partition("±")
    number, unit = main.split()
    dimension, factor = SI[unit]
    tolerance = None
    if limit:
        half, limit_unit = limit.split()
        tolerance = Tolerance(half_width=float(half) * SI[limit_unit][1], written="±" + limit, stated=stated)
    return Quantity(
        written=written,
        span=SPAN,
        evidence=Evidence(how=how),
        si=float(number) * factor,
        dimension=dimension,
        unit=unit,
        tolerance=tolerance,
    )


def n(value: int, how: Literal["counted", "unstated"] = "counted") -> Count:
    return Count(written=str(value), span=SPAN, evidence=Evidence(how=how), value=value)


def x(value: float) -> Number:
    return Number(written=str(value), span=SPAN, value=value)


def w(text: str) -> Words:
    return Words(written=text, span=SPAN, text=text)


def unknown() -> Unknown:
    return Unknown(written="?", span=SPAN)


def absent() -> Absent:
    return Absent(written="no", span=SPAN)


Facts = Mapping[str, Any]


def node(word: str, path: str, given: Any) -> Node:
    """One fact. `given`: a value, or a dict of facts, in which `|name` is a named part of the value."""
    values: dict[str, AnyValue] = {}
    facts: list[Node] = []
    label = None
    if isinstance(given, Mapping):
        for key, below in given.items():
            if key == "":
                values["value"] = below
            elif key == "label":
                label = below
            elif key.startswith("|"):
                values[key[1:]] = below
            elif isinstance(below, list):
                facts += [node(key, f"{path}.{key.replace(' ', '_')}", one) for one in below]
            else:
                facts.append(node(key, f"{path}.{key.replace(' ', '_')}" if path else key, below))
    elif given is not None:
        values["value"] = given
    own = values.get("value")
    evidence = own.evidence if isinstance(own, (Quantity, Count, Number, Words, Text)) else Evidence()
    return Node(
        word=word,
        written=word,
        path=path,
        span=SPAN,
        word_span=SPAN,
        label=label,
        values=values,
        evidence=evidence,
        facts=tuple(facts),
    )


def train(name: str, role: Role, barrel: Facts, others: Facts | None = None) -> tuple[Node, Train]:
    """A train with one arbor, that of the barrel, and the train's own facts (`winding`...)."""
    barrel_node = node("barrel", f"{name}.barrel", barrel)
    arbor_node = Node(
        word="arbor",
        written="arbor",
        path=f"{name}.barrel",
        span=SPAN,
        word_span=SPAN,
        label="barrel",
        facts=(barrel_node,),
    )
    own = node("train", name, others or {})
    train_node = own.model_copy(update={"label": name, "facts": (arbor_node, *own.facts)})
    arbor = Arbor(name="barrel", path=f"{name}.barrel", node=arbor_node, barrel=barrel_node)
    return train_node, Train(name=name, role=role, node=train_node, arbors=(arbor,), meshes=())


def build(facts: Facts | None = None, *trains: tuple[Node, Train]) -> Clock:
    root = node("movement", "", facts or {})
    root = root.model_copy(update={"facts": (*root.facts, *(one for one, _ in trains))})
    return Clock(name="test", file="test.movement", root=root, trains=tuple(train for _, train in trains))
