"""What each revision of a description changed in its facts, read from what git keeps of its texts.

Only the top-level parts that two revisions do not have in common are read, and no figure is worked out: a binder
must not wait for its history.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from countwheel import git
from countwheel.model.changes import Changes, FactChange

MOST = 20  # revisions whose facts are told
LETTERS = 60_000  # of text that differs: what more there is, is not read, so that no binder waits for it
_LOG = re.compile(r"log\b")


def with_facts(folder: Path, names: Sequence[str], found: Changes) -> Changes:
    """The changes with what they did to the facts, for the newest `MOST`; `folder` and `names` as for `git.changes`."""
    listed = found.changes[:MOST]
    kept = git.blobs(folder, [way for one in listed for way in (one.revision, f"{one.revision}^")], names)
    apart = [
        (one, kept.get((f"{one.revision}^", name)), kept.get((one.revision, name)))
        for one in listed
        for name in names
    ]
    wanted = {blob for _, *both in apart if both[0] != both[1] for blob in both if blob}
    texts = git.contents(folder, sorted(wanted))
    told: dict[str, list[FactChange]] = {}
    left = LETTERS
    for one, before, after in apart:
        if before == after or before not in texts or (after and after not in texts):
            continue  # nothing of it changed, it begins here, or it is not to be read
        old, new = differing(texts[before], texts[after] if after else "")
        left -= len(old) + len(new)
        if left >= 0:
            told.setdefault(one.revision, []).extend(_changes(old, new))
    return replace(
        found,
        changes=tuple(
            replace(one, facts=tuple(told[one.revision])) if one.revision in told else one
            for one in found.changes
        ),
    )


def differing(old: str, new: str) -> tuple[str, str]:
    """Of two texts the top-level parts that the other has not, in their order."""
    parts = [list(_parts(text)) for text in (old, new)]
    common = Counter(parts[0]) & Counter(parts[1])
    return _less(parts[0], common), _less(parts[1], common)


def _less(parts: list[str], common: Counter[str]) -> str:
    left = Counter(common)
    kept = []
    for part in parts:
        if left[part]:
            left[part] -= 1
        else:
            kept.append(part)
    return "".join(kept)


def _parts(text: str) -> Iterator[str]:
    """A text cut before every line that begins at the margin, outside texts of several lines."""
    part, inside = "", False
    for line in text.splitlines(keepends=True):
        if part and not inside and not line[0].isspace() and not line.startswith("#"):
            yield part
            part = ""
        part += line
        inside ^= line.count('"""') % 2 == 1
    if part:
        yield part


def _changes(old: str, new: str) -> Iterator[FactChange]:
    from countwheel.compare.facts import changes
    from countwheel.facts_alone import facts_of

    logged: list[str] = []
    for change in changes(facts_of(old).root, facts_of(new).root):
        if _LOG.match(change.path):
            logged.append(change.path)
        else:
            yield FactChange(change.kind, change.path, change.before, change.after)
    if logged:  # an entry comes or goes with all that it says; else something in one is another
        yield FactChange("entries", "log", "", str(max(logged.count("log.entry"), 1)))
