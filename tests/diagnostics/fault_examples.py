"""Two files and some diagnostics in them, for the tests of the printers."""

from __future__ import annotations

from countwheel.diagnostics.record import Diagnostic, Edit, Label
from countwheel.diagnostics.registry import say
from countwheel.source import Source, Span

MAIN = Source(
    "tower clock/main.movement",
    'countwheel 1\n\nclock "鐘楼 𝄞 clock"  # a bell, and a clef that UTF-16 needs two units for\n  weel 80\n',
)
TRAIN = Source("tower clock/é:1.movement", "train going\n  arbor centre\n    wheel 80")
EMPTY = Source("tower clock/empty.movement", "")
SOURCES = {source.file: source for source in (MAIN, TRAIN, EMPTY)}


def at(source: Source, part: str, nth: int = 0) -> Span:
    start = -1
    for _ in range(nth + 1):
        start = source.text.index(part, start + 1)
    return source.span(start, start + len(part))


def some() -> list[Diagnostic]:
    weel, name = at(MAIN, "weel"), at(MAIN, '"鐘楼 𝄞 clock"')
    return [
        say(
            "M201",
            weel,
            "`weel` is not known in a clock.",
            label="not known here",
            others=[Label(name, "this clock"), Label(at(TRAIN, "wheel"), "as here")],
            hints=["Write `wheel`, or move the line.", "`countwheel words clock` lists the words."],
            edits=[Edit(weel, "wheel", "write `wheel`"), Edit(weel, "rate", "write `rate`")],
        ),
        say("M204", MAIN.span(len(MAIN.text), len(MAIN.text)), "The value is missing."),
        say("M006", EMPTY.span(0, 0), "There is no version line.", edits=[
            Edit(EMPTY.span(0, 0), "countwheel 1\n\n", "put in the version line")]),
        say("M602", TRAIN.span(0, len(TRAIN.text)), "It waits."),
        say("M001", Source("gone.movement", "").span(0, 0), "There is no such file."),
    ]  # fmt: skip
