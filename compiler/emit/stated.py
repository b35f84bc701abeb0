"""What a description says of a part, says that there is none of, or says is lost.

`no maintaining power` is a fact whose value is that there is none. Nothing may
be printed or drawn of such a fact, so manual and drawings ask for facts here
and not of the node itself.
"""

from __future__ import annotations

import re

from countwheel.model.node import Node
from countwheel.model.values import Absent, Evidence, Unknown, Value

#: What a value is called by, in the order looked for: the vocabulary names a count of teeth `teeth`.
_MAIN = ("value", "teeth", "kind", "material")
#: Parts of a line that only tell several apart, or say from where.
_LABELS = ("name", "number", "from", "form", "form2", "sides", "planes")


def there(node: Node | None) -> Node | None:
    """The fact, where the description does not say that there is none (`no maintaining power`)."""
    return None if node is None or isinstance(node.value, Absent) else node


def all_there(node: Node, word: str) -> tuple[Node, ...]:
    """Every fact of that word of which there is one."""
    return tuple(fact for fact in node.all(word) if there(fact))


def fact(node: Node | None, *words: str) -> Node | None:
    """The fact reached by following `words` down; None where one is not stated or there is none of it."""
    at = there(node)
    for word in words:
        at = there(at.get(word)) if at else None
    return at


def has(node: Node | None, word: str) -> bool:
    """Whether it is stated and there is one: `handle 11 in`, not `no handle`."""
    return fact(node, word) is not None


# -- values and how they are known ----------------------------------------------
def main_value(node: Node | None) -> Value | None:
    """The value that the fact is about, whatever the vocabulary calls it; None where there is none."""
    if there(node) is None or node is None:
        return None
    parts = [*_MAIN, *(part for part in node.values if part not in _LABELS)]
    return next((node.values[part] for part in parts if part in node.values), None)


def evidence(node: Node) -> Evidence:
    """How the fact is known: its own evidence, or that of its main value where the line gives none."""
    value = main_value(node)
    if node.evidence.how == "unstated" and not node.evidence.lost and value is not None:
        return value.evidence
    return node.evidence


def is_lost(node: Node | None) -> bool:
    """Whether the part itself is gone: `wheel ? 60..84 lost`, or `lost` as a fact of its own."""
    return there(node) is not None and node is not None and (evidence(node).lost or has(node, "lost"))


def limits(value: Value | None) -> str:
    """What is known of an unknown, in the keeper's own words: '60 to 84', 'about 150 mm', ''."""
    if not isinstance(value, Unknown):
        return ""
    # A value that could not be read stands as unknown too: what is written there says nothing.
    text = value.written.strip()
    told = text[1:].replace("..", " to ").strip() if text.startswith("?") else ""
    return re.sub(r"(?<=\d) (even|odd)$", r", \1", told)
