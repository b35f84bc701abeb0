"""The words that say how a value is known, with what each means to the keeper."""

from __future__ import annotations

KNOWN = {
    "counted": "counted on the part itself",
    "measured": "measured on the part itself",
    "stamped": "read off the part, where it is stamped, cast or painted on it",
    "copied": 'taken from a paper; say which: copied from "1952 survey, sheet 3"',
    "told": 'told by a person; say by whom: told by "the previous keeper"',
    "estimated": "judged by eye or by experience",
    "assumed": "taken to be so, without having looked",
    "lost": "the part itself is gone",
    "perhaps": "it may never have been there",
    "doubted": 'not to be relied on; say why: doubted "chalk mark missed"',
}

DETAILS = {
    "on": "when: on 2026-05-02, on 1931-07 or on 1931",
    "by": 'by whom: by "KT"',
    "from": 'from what: from "1952 survey, sheet 3"',
}
