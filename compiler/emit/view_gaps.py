"""What the manual says of the gaps: what `gaps` says, shortly, from the same list in the same order."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from countwheel.emit.gap_rows import Row, row
from countwheel.emit.naming import Names
from countwheel.search.gap import Gap, Gaps

# A page of facts is read; more are not. The measuring list has them all.
MOST = 14


@dataclass(frozen=True, slots=True)
class Short:
    """The first of several gaps, those that settle most for their time first; `more` are left out."""

    rows: tuple[Row, ...] = ()
    more: int = 0


@dataclass(frozen=True, slots=True)
class ShortGaps:
    missing: Short  # can be found out at the clock, and is not known
    weak: Short  # is known only by what somebody said, guessed or doubts
    finer: int  # facts that are well known, and would still make some figure surer if measured better
    lost: Short
    later: Short  # can be found out when the clock goes again
    idle: Short  # no figure waits for it, or nobody can measure it there

    @property
    def none(self) -> bool:
        several = (self.missing, self.weak, self.lost, self.later, self.idle)
        return not (self.finer or any(one.rows for one in several))


def short_gaps(gaps: Gaps | None, names: Names) -> ShortGaps:
    found = gaps.gaps if gaps is not None else ()
    work = gaps.worklist if gaps is not None else ()

    def of(several: Iterable[Gap], most: int = MOST) -> Short:
        rows = [row(gap, names) for gap in several]
        return Short(tuple(rows[:most]), len(rows[most:]))

    idle = [gap for gap in found if not (gap.lost or gap.waits or gap.firm) and gap not in work]
    return ShortGaps(
        of(gap for gap in work if gap.kind != "weak"),
        of(gap for gap in work if gap.kind == "weak" and not gap.firm),
        sum(1 for gap in work if gap.firm),
        of((gap for gap in found if gap.lost), len(found)),
        of(gap for gap in found if gap.waits and not gap.lost),
        of(idle, len(found)),
    )
