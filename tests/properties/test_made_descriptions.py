"""Descriptions made from the vocabulary itself: written down, read back, and the same; put in canonical form, too.

`tidy` has no width of its own, and what it writes does not go by the terminal's: it is tried at several.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from countwheel import vocabulary
from countwheel.compare.facts import changes
from countwheel.facts_alone import facts_of
from countwheel.model.node import Node
from countwheel.source import Source
from countwheel.tidy.check import tidied
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

QUIET = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
OTHERWISE = {"dial": "dial north"}  # the example in the vocabulary is of two, which are two facts


@dataclass(frozen=True)
class Part:
    """A line with what stands below it; `word` is what it is read as."""

    word: str
    line: str
    below: tuple[Part, ...]


def choices(owner: str) -> list[vocabulary.Entry]:
    words = vocabulary.load()
    return [
        entry
        for word, entry in sorted(words.under(owner).items())
        if entry.fixed and word == entry.word and word not in ("countwheel", "include", "log")
    ]


@st.composite
def parts(draw: st.DrawFn, owner: str = "movement", depth: int = 0) -> tuple[Part, ...]:
    there = choices(owner)
    if not there or depth > 3:
        return ()
    picked = draw(
        st.lists(st.sampled_from(there), unique_by=lambda entry: entry.word, max_size=4 - depth // 2)
    )
    return tuple(
        Part(
            entry.word,
            OTHERWISE.get(entry.word, entry.example),
            draw(parts(entry.block, depth + 1)) if vocabulary.load().may_own(entry.block) else (),
        )
        for entry in picked
    )


def printed(whole: tuple[Part, ...], step: int = 2, remarks: bool = False, gap: str = " ") -> str:
    rows = ["countwheel 1"]

    def write(part: Part, depth: int) -> None:
        if remarks:
            rows.extend(["", f"{' ' * step * depth}# remark {len(rows)}"])
        first, _, rest = part.line.partition(" ")
        rows.append(" " * step * depth + first + (gap + rest if rest else "") + (" # so" if remarks else ""))
        for inner in part.below:
            write(inner, depth + 1)

    for part in whole:
        write(part, 0)
    return "\n".join(rows) + "\n"


def shape(facts: tuple[Node, ...]) -> list[tuple[str, list[object]]]:
    return [(fact.word, list(shape(fact.facts))) for fact in facts if fact.word != "countwheel"]


def wanted(whole: tuple[Part, ...]) -> list[tuple[str, list[object]]]:
    return [(part.word, list(wanted(part.below))) for part in whole]


def tidy(text: str) -> str | None:
    return tidied(Source("made.movement", text)).text


@QUIET
@given(parts())
def test_what_is_written_is_what_is_read(whole: tuple[Part, ...]) -> None:
    read = facts_of(printed(whole))
    assert read.faults == ()
    assert shape(read.root.facts) == wanted(whole)


@QUIET
@given(parts(), st.sampled_from([1, 2, 3, 4, 8]), st.sampled_from([" ", "   "]))
def test_however_it_is_spaced_it_says_the_same(whole: tuple[Part, ...], step: int, gap: str) -> None:
    one, two = printed(whole), printed(whole, step, True, gap)
    assert changes(facts_of(one).root, facts_of(two).root) == ()


@pytest.mark.parametrize(
    "line", ["made about 1640", "owner the warden of the  gate", 'expect "a  b" lasts 8 days']
)
def test_words_with_wider_gaps_say_the_same(line: str) -> None:
    """Within a value of several words too; what stands in quotes is as it was written."""
    block = "clock\n  " if line.split()[0] != "expect" else ""
    usual = f"countwheel 1\n{block}{line}\n"
    wide = f"countwheel 1\n{block}{line.replace(' ', ' ' * 4).replace('a' + ' ' * 8 + 'b', 'a  b')}\n"
    assert wide != usual
    assert changes(facts_of(usual).root, facts_of(wide).root) == ()
    other = usual.replace("a  b", "a b")
    assert bool(changes(facts_of(usual).root, facts_of(other).root)) == (other != usual)


@pytest.mark.parametrize(
    "line", ["made oak,ash , and elm", "made oak, ash,and elm", "made oak ,ash   ,  and elm"]
)
def test_commas_between_words_stand_as_they_like(line: str) -> None:
    usual, other = (f"countwheel 1\nclock\n  {one}\n" for one in ("made oak, ash, and elm", line))
    assert changes(facts_of(usual).root, facts_of(other).root) == ()
    assert tidy(usual) == tidy(other)


@QUIET
@given(parts(), st.sampled_from([1, 2, 4]), st.sampled_from([" ", "    "]))
def test_canonical_form_loses_nothing_and_stays(whole: tuple[Part, ...], step: int, gap: str) -> None:
    text = printed(whole, step, True, gap)
    made = tidy(text)
    assert made is not None
    assert changes(facts_of(text).root, facts_of(made).root) == ()
    assert made.count("# remark ") == text.count("# remark ")
    assert made.count("# so") == text.count("# so")
    assert tidy(made) == made


@pytest.mark.parametrize("columns", ["20", "80", "300"])
def test_the_terminal_has_no_say(columns: str, monkeypatch: pytest.MonkeyPatch) -> None:
    text = printed((Part("clock", 'clock "Trial clock"', (Part("owner", f'owner "{"long " * 40}"', ()),)),))
    monkeypatch.setenv("COLUMNS", "100")
    before = tidy(text)
    monkeypatch.setenv("COLUMNS", columns)
    assert tidy(text) == before
