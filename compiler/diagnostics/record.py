"""The one record that every stage uses to say that something is amiss."""

from __future__ import annotations

from typing import Literal, NamedTuple

from countwheel.source import Span

Severity = Literal["error", "doubt", "advice"]


class Label(NamedTuple):
    """Another place that bears on the fault (perhaps in another file) and what it says there."""

    span: Span
    text: str


class Edit(NamedTuple):
    """A mend that a machine can make: put `text` in place of `span`."""

    span: Span
    text: str
    title: str


class Diagnostic(NamedTuple):
    """One thing amiss, at one place.

    `message` says what is wrong in a keeper's words and never holds a path or
    a place; `label` is the short note under the underlined text; `hints` come
    in order of importance, the first being what to write instead.
    """

    code: str
    severity: Severity
    span: Span
    message: str
    label: str = ""
    others: tuple[Label, ...] = ()
    hints: tuple[str, ...] = ()
    edits: tuple[Edit, ...] = ()
