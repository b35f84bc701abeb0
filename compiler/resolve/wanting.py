"""What is wanted of a fact and not stated, so that nothing is missed without a word."""

from __future__ import annotations

from collections.abc import Container

from countwheel.diagnostics.record import Diagnostic, Edit
from countwheel.diagnostics.registry import say
from countwheel.model.values import Words
from countwheel.resolve.builder import ROOT, Builder, called
from countwheel.vocabulary import Entry, Vocabulary


def wanted(builder: Builder, words: Vocabulary, misplaced: Container[str], report: list[Diagnostic]) -> None:
    """M210 for each word that the vocabulary wants there, M006 for the version; not for what is lost or unknown.

    `misplaced` are words that stand elsewhere and have been told of there.
    """
    if builder.evidence.lost or any(
        v.kind in ("unknown", "absent") for v in builder.values.values() if builder.entry.block != "rod"
    ):
        return
    stated = {fact.entry.word for fact in builder.facts}
    if "lost" in stated:
        return
    entries = words.wanted.get(builder.entry.block, ())
    some = any(entry.need == "together" and entry.word in stated for entry in entries)
    for entry in entries:
        if entry.need == "together" and not some:
            continue
        if entry.word in stated or entry.word in misplaced:
            continue
        if builder.entry is ROOT:
            report.append(_no_version(builder))
            continue
        if _not_needed(entry, builder):
            continue
        report.append(
            say(
                "M210",
                builder.word_span,
                f"{called(builder).capitalize()} has no `{entry.word}`: {entry.meaning}.",
                label=f"`{entry.word}` is not stated",
                hints=(
                    f"write for example `{entry.example}`",
                    f"write `{entry.word} ?` where it is not known",
                ),
            )
        )


def _not_needed(entry: Entry, builder: Builder) -> bool:
    """Whether a wanted fact has no meaning here: a clock wound by a motor has no turns of line to count."""
    train = builder.parent.parent if builder.parent else None
    by_motor = train is not None and any(fact.entry.word == "automatic winding" for fact in train.facts)
    if builder.entry.block == "barrel":
        return by_motor and entry.word in ("turns of line", "fall")
    if builder.entry.block == "place":
        return entry.word == "latitude" and any(fact.entry.word == "gravity" for fact in builder.facts)
    if builder.entry.block == "winding":
        others = {fact.entry.word for fact in builder.facts} & {"direct", "bars", "lever"}
        by = builder.values.get("by")
        return bool(others) or (by is not None and by.written.lower() not in ("handle", "crank"))
    if builder.entry.block == "line":
        kind = builder.values.get("kind")
        chain = isinstance(kind, Words) and kind.text == "chain"
        return chain or any(fact.entry.word == "girth" for fact in builder.facts)
    if builder.entry.block in ("motion work", "dial motion work"):
        return any(
            fact.entry.word == "one hand only" for fact in (builder.parent.facts if builder.parent else [])
        )
    return False


def _no_version(builder: Builder) -> Diagnostic:
    start = builder.span._replace(start=0, end=0)
    return say(
        "M006",
        start,
        "The description does not say which version of the language it is written in.",
        label="first line",
        hints=("write `countwheel 1` as the first line",),
        edits=(Edit(start, "countwheel 1\n\n", "write `countwheel 1` as the first line"),),
    )
