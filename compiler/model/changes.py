"""What has been changed in a description, as far as something keeps account of it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class FactChange:
    """What became of one fact, as `compare` has it; `entries` of kind and so many in `after` for lines of the log."""

    kind: str
    path: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Change:
    """One change: its revision, its ISO date where its author was, who that was, what was said of it in a line.

    `facts` is what it did to the facts, None where that was not read.
    """

    revision: str
    on: str
    by: str
    subject: str
    facts: tuple[FactChange, ...] | None = None


@dataclass(frozen=True, slots=True)
class Changes:
    """The changes since the issue of that name ('' for all that there are), the newest first.

    `revision` is '' where nothing keeps account; `clean` says whether the files are as that revision has
    them; `more` older changes are not listed.
    """

    revision: str = ""
    clean: bool = True
    issue: str = ""
    changes: tuple[Change, ...] = ()
    more: int = 0
