"""What a value may be out by where the keeper states no tolerance, from `grammar/tolerances.table`."""

from __future__ import annotations

from functools import cache

from countwheel import grammar
from countwheel.model.values import AnyValue, Number, Quantity, Tolerance

_HOWS = ("counted", "measured", "stamped", "copied", "told", "estimated", "assumed", "deduced", "unstated")


@cache
def _table() -> dict[str, dict[str, str]]:
    return {cells[0]: dict(zip(_HOWS, cells[1:], strict=True)) for cells in grammar.rows("tolerances.table")}


def with_default(value: AnyValue, word: str) -> AnyValue:
    """The value with the usual tolerance for its word or kind and its evidence, where it states none of its own."""
    if not isinstance(value, (Quantity, Number)) or value.tolerance is not None:
        return value
    kind = value.dimension if isinstance(value, Quantity) else "number"
    row = _table().get(word) or _table().get(kind)
    cell = row[value.evidence.how] if row else "-"
    if cell == "-":
        return value
    size = abs(value.si if isinstance(value, Quantity) else value.value)
    half = size * float(cell.rstrip("% ")) / 100 if cell.endswith("%") else float(cell)
    # nothing said of how it is known: then what is usual is so for its kind
    of = "its kind" if value.evidence.how == "unstated" else value.evidence.how
    usual = Tolerance(half_width=half, written=f"± {cell} (usual for {of})", stated=False)
    return value.model_copy(update={"tolerance": usual})
