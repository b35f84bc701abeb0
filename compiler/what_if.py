"""One fact put in the place of another, in copies of the texts: what a keeper would write to try a value.

Nothing is written and nothing is worked out here; `api.with_values` compiles what comes of it. The preview and the
command line share this.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from countwheel.diagnostics.record import Diagnostic, Edit
from countwheel.diagnostics.registry import say
from countwheel.diagnostics.suggest import nearest
from countwheel.model.clock import Clock
from countwheel.model.node import Node
from countwheel.model.values import Quantity, Unknown
from countwheel.search.filling import (
    ASIDE,
    Insertion,
    below_owner,
    entries_below,
    inserted,
    nearest_owner,
    owners_of,
)
from countwheel.source import Source, Span

_LABELS = ("name", "form")  # parts of a line that tell one of several from the others, or stand before that
_UNTRIED = ("log", "entry", "care", "season", "expect", "contact", "photo", "rota")
_WHERE = "a path is the train, the arbor and the part: going.centre, strike.barrel.weight"


class Setting(NamedTuple):
    """A path and the value to try for it, each with its place in the text that it was read from."""

    path: str
    value: str
    path_span: Span
    value_span: Span


class Placed(NamedTuple):
    """The edit that tries a setting, and where the value then stands in the text of that file."""

    edit: Insertion
    start: int
    end: int

    def texts(self, sources: Mapping[str, Source]) -> dict[str, str]:
        """The texts of all files with the value in its place."""
        return inserted(sources, (self.edit,))


def read_setting(source: Source) -> Setting | Diagnostic:
    """`PATH=VALUE` taken apart; `source` holds the text of one option."""
    text = source.text
    path, sign, value = text.partition("=")
    whole = source.span(0, len(text))
    if not sign or not path.strip():
        return say(
            "M204",
            whole,
            "A value to try is written as a path, an equals sign and the value.",
            label="PATH=VALUE",
            hints=('write it like this: "pendulum.bob.mass=95 kg"',),
        )
    if not value.strip():
        return say("M204", source.span(len(path), len(text)), "Nothing stands behind the equals sign.",
                   label="which value?", hints=("write the value as in the description",))  # fmt: skip
    if odd := re.search(r'[\x00-\x1f\x7f-\x9f\u2028\u2029]|"""', value):
        at = len(path) + 1 + odd.start()
        return say("M109", source.span(at, at + len(odd[0])), "A value to try is written in one line.",
                   label="not in one line")  # fmt: skip
    begin = len(path) + 1 + len(value) - len(value.lstrip())
    return Setting(
        path.strip(),
        value.strip(),
        source.span(len(path) - len(path.lstrip()), len(path.rstrip())),
        source.span(begin, begin + len(value.strip())),
    )


def placed(clock: Clock, sources: Mapping[str, Source], setting: Setting) -> Placed | Diagnostic:
    """Where the value of a setting goes: in the place of the fact's value as it holds, else on a line of its own.

    What stands behind the value on its line (how it is known) stays, and a stated tolerance too where the new
    value brings none: the value is tried as if it were as well known as the old one.
    """
    aside = ASIDE.match(setting.path)
    path = (aside["path"] if aside else setting.path).lower()
    owners = {name.lower(): node for name, node in owners_of(clock).items()}
    node = owners.get(path)
    if node is None:
        return _new_line(clock, owners, path, sources, setting)
    lines = {one.span for one in clock.root.walk() if one.path.lower() == path and one.word == node.word}
    if len(lines) > 1 or path.partition(".")[0] in _UNTRIED:
        return say("M402", setting.path_span, f"`{setting.path}` is not one fact that another value can be put"
                   " in the place of.", label="not one value", hints=(_WHERE,))  # fmt: skip
    return _in_place(node, sources, setting, aside["part"] if aside else "")


def _in_place(node: Node, sources: Mapping[str, Source], setting: Setting, part: str) -> Placed | Diagnostic:
    source = sources[node.span.file]
    held = {name: value for name, value in node.values.items() if value.span.file == source.file}
    if part and part not in held:
        return say(
            "M402", setting.path_span, f"The line of `{node.path}` has no {part}.", label="leads nowhere"
        )
    if not part and "teeth" in held and re.fullmatch(r"\d+", setting.value):
        part = "teeth"  # a bare count leaves the kind of wheel as it is
    spans = [value.span for name, value in held.items() if (name == part if part else name not in _LABELS)]
    label = held.get("name")
    own_line = max(node.word_span.end, label.span.end if label else 0)
    if not spans:
        start = end = own_line
    else:
        start, end = min(span.start for span in spans), max(span.end for span in spans)
        on_own = start < node.span.end  # else it is one of several values below the fact
        before = source.text[own_line:start]
        # `once in 75 s` is written whole, from the first word behind the fact's own; `75 s` alone goes in its place
        if (
            on_own
            and not part
            and setting.value.lower().startswith(before.split()[0].lower() if before.split() else "")
        ):
            start = own_line + len(before) - len(before.lstrip())
        if on_own and any(isinstance(value, Unknown) for value in held.values()):
            end = (
                node.span.end
            )  # what was said of the value that is not known does not hold for the one tried
    text, lead = setting.value, " " if start == own_line else ""
    value = node.values.get(part or "value")
    if isinstance(value, Quantity) and value.tolerance and value.tolerance.stated and "±" not in text:
        text += f" {value.tolerance.written}"
    return Placed(
        Insertion(source.file, start, end, lead + text), start + len(lead), start + len(lead + text)
    )


def _new_line(
    clock: Clock,
    owners: Mapping[str, Node],
    path: str,
    sources: Mapping[str, Source],
    setting: Setting,
) -> Placed | Diagnostic:
    owner, steps = nearest_owner(path, owners)
    entries = entries_below(owner, steps) if owner is not None and steps else []
    if owner is None or not entries or path.partition(".")[0] in _UNTRIED:
        near = nearest(path, list(owners), 1)
        return say(
            "M402",
            setting.path_span,
            f"There is no part of this clock called `{setting.path}`.",
            label="leads nowhere",
            hints=(f"write {near[0]}",) if near else (_WHERE,),
            edits=(Edit(setting.path_span, near[0], f"write {near[0]}"),) if near else (),
        )
    indent, at = below_owner(owner, sources[owner.span.file])
    lines = [f"{indent}{'  ' * deep}{entry.word}" for deep, entry in enumerate(entries)]
    text = "".join(f"\n{line}" for line in lines) + " "
    return Placed(
        Insertion(owner.span.file, at, at, text + setting.value),
        at + len(text),
        at + len(text) + len(setting.value),
    )


def moved(found: Diagnostic, place: Placed, setting: Setting) -> Diagnostic | None:
    """A diagnostic that lies in the value as it was put into a text, with its place in the setting; None for others."""
    span = found.span
    if span.file != place.edit.file or span.end < place.start or span.start > place.end:
        return None
    into = setting.value_span
    start = min(max(span.start, place.start), place.end) - place.start
    end = min(max(span.end, place.start), place.end) - place.start
    size = into.end - into.start
    start, end = min(start, size), min(max(end, start), size)
    if span.start < place.start:  # the whole line is meant
        start, end = 0, size
    return say(found.code, Span(into.file, into.start + start, into.start + end), found.message,
               label=found.label, hints=found.hints)  # fmt: skip


def season_settings(season: Node) -> Iterator[Setting]:
    """What a season puts in the place of other facts."""
    for change in season.all("<change>"):
        of, value = change.values.get("of"), change.values.get("value")
        if of is not None and value is not None and not isinstance(value, Unknown):
            yield Setting(change.text(part="of") or of.written, value.written, of.span, value.span)
