"""What one line of a description can say: a value, and how it is known."""

from __future__ import annotations

from typing import Annotated, Literal

from countwheel.source import Span
from pydantic import BaseModel, ConfigDict, Field


class Frozen(BaseModel):
    """A pydantic model that cannot be changed once made and takes no stray keys."""

    model_config = ConfigDict(frozen=True, extra="forbid")


How = Literal[
    "counted", "measured", "stamped", "copied", "told", "estimated", "assumed", "deduced", "unstated"
]


class Evidence(Frozen):
    """How a value is known. `on` is an ISO date, year-month or year, as written."""

    how: How = "unstated"
    on: str | None = None
    by: str | None = None
    source: str | None = None
    doubted: str | None = None
    lost: bool = False
    perhaps: bool = False


UNSTATED = Evidence()
MOST_TEETH = 10_000  # no turret clock has a wheel of more; a number beyond is a slip of the pen


class Value(Frozen):
    """What every value carries: the text as the keeper wrote it, its place, how it is known."""

    written: str
    span: Span
    evidence: Evidence = UNSTATED


class Tolerance(Frozen):
    """A ± limit. `half_width` is in the SI unit of the value; a rectangular half-width (GUM 4.3.7).

    `stated` is False where the vocabulary's default for that kind and evidence was used.
    """

    half_width: float
    written: str
    stated: bool


class Quantity(Value):
    """A number with a unit. `si` is in the coherent SI unit of `dimension` (m, kg, s, rad, K...).

    `unit` is the keeper's own unit (the largest where several are mixed).
    """

    kind: Literal["quantity"] = "quantity"
    si: float
    dimension: str
    unit: str
    tolerance: Tolerance | None = None


class Count(Value):
    """A whole number of things: teeth, leaves, pins, blows. Exact."""

    kind: Literal["count"] = "count"
    value: int


class Number(Value):
    """A plain number that need not be whole (7 1/2 teeth spanned, 1/5 division)."""

    kind: Literal["number"] = "number"
    value: float
    tolerance: Tolerance | None = None


class Counts(Value):
    """Several whole numbers in order: what a central bevel drives, a line of changes."""

    kind: Literal["counts"] = "counts"
    values: tuple[int, ...]


class Words(Value):
    """A word or a few, or a quoted string: a name, a material, a choice from a list."""

    kind: Literal["words"] = "words"
    text: str


class Text(Value):
    """Free text of the keeper's, perhaps of many lines."""

    kind: Literal["text"] = "text"
    text: str


class Moment(Value):
    """A date, a month and day without a year, or a time of day, in ISO form in `iso`."""

    kind: Literal["moment"] = "moment"
    iso: str


class Unknown(Value):
    """A `?`: not known. It may still say between what limits, or which of a few.

    `low`, `high`, `choices` and `about` are in SI units where `dimension` is set, else plain numbers.
    """

    kind: Literal["unknown"] = "unknown"
    dimension: str | None = None
    low: float | None = None
    high: float | None = None
    choices: tuple[float, ...] = ()
    parity: Literal["odd", "even"] | None = None
    about: float | None = None


class Absent(Value):
    """There is none: `no minute hand`."""

    kind: Literal["absent"] = "absent"


AnyValue = Annotated[
    Quantity | Count | Number | Counts | Words | Text | Moment | Unknown | Absent,
    Field(discriminator="kind"),
]
