"""Indentation, comments, blank lines and text blocks: the shape of a file, and what is told of its faults."""

from __future__ import annotations

from typing import Any

import pytest
from countwheel.api import check_text
from countwheel.diagnostics.record import Diagnostic
from countwheel.files import decode
from countwheel.source import Source
from countwheel.syntax.layout import DEEPEST, lay_out
from countwheel.syntax.tree import Line, Tree


def laid(text: str) -> tuple[Tree, list[Diagnostic]]:
    return lay_out(Source("x.movement", text))


def shape(text: str) -> list[Any]:
    """A file's lines as (content, [lines under it])."""

    def show(lines: list[Line]) -> list[Any]:
        return [(line.content, show(line.children)) if line.children else line.content for line in lines]

    return show(laid(text)[0].lines)


def told(text: str) -> list[tuple[str, int, int, int]]:
    """(code, line, first column, column behind the last) of each diagnostic."""
    source = Source("x.movement", text)
    found = []
    for one in lay_out(source)[1]:
        start, end = source.place(one.span.start), source.place(one.span.end)
        assert start.line == end.line
        found.append((one.code, start.line, start.column, end.column))
    return found


# -- indentation -----------------------------------------------------------------


@pytest.mark.parametrize("step", [1, 2, 3, 4, 8])
def test_any_consistent_depth_is_read(step: int) -> None:
    in_ = " " * step
    text = f"train going\n{in_}arbor a\n{in_ * 2}wheel 80\n{in_}arbor b\nbell\n"
    assert shape(text) == [("train going", [("arbor a", ["wheel 80"]), "arbor b"]), "bell"]
    assert told(text) == []


def test_each_block_may_have_its_own_depth() -> None:
    text = "a\n    b\n     c\n    d\ne\n f\n   g\n"
    assert shape(text) == [("a", [("b", ["c"]), "d"]), ("e", [("f", ["g"])])]
    assert told(text) == []


def test_blank_lines_and_comments_do_not_end_a_block() -> None:
    text = "a\n\n  b\n# at the margin\n\n      # deep\n  c\n   \n    d\n"
    assert shape(text) == [("a", ["b", ("c", ["d"])])]
    assert told(text) == []


def test_what_stood_above_a_line_is_kept_with_it() -> None:
    tree, _ = laid("# one\n# two\n\n\na  # three\n\n  # four\n  b\n# five\n")
    a = tree.lines[0]
    assert (a.comments, a.comment, a.blanks) == (("# one", "# two"), "# three", 2)
    assert (a.children[0].comments, a.children[0].blanks) == (("# four",), 1)
    assert tree.tail == ("# five",)


def test_a_tab_is_told_with_the_spaces_to_write() -> None:
    text = "train going\n\tarbor a\n\t\twheel 80\n"
    assert told(text) == [("M101", 2, 1, 2), ("M101", 3, 1, 3)]
    assert shape(text) == [("train going", [("arbor a", ["wheel 80"])])]
    first, second = laid(text)[1]
    assert [edit.text for edit in first.edits + second.edits] == ["  ", "    "]


def test_a_tab_counts_as_one_step_of_the_file() -> None:
    text = "train going\n    arbor a\n\tarbor b\n"
    assert shape(text) == [("train going", ["arbor a", "arbor b"])]
    assert laid(text)[1][0].edits[0].text == "    "


def test_a_tab_after_the_margin_is_only_white_space() -> None:
    assert told("train\tgoing\n  arbor\ta\t# c\n") == []
    assert not [
        d
        for d in check_text('countwheel 1\nclock\t"x"\n  place "p"\n    latitude\t50\t°N\n').diagnostics
        if d.severity == "error"
    ]


def test_a_depth_that_fits_nothing_is_told_and_put_at_the_nearest() -> None:
    text = "a\n  b\n      c\n     d\n    e\n  f\n"
    assert told(text) == [("M102", 3, 1, 7), ("M102", 5, 1, 5)]
    assert shape(text) == [("a", [("b", ["c", "d", "e"]), "f"])]


def test_one_odd_line_costs_one_message() -> None:
    text = "a\n  b\n    c\n   d\n    e\n  f\n"
    assert told(text) == [("M102", 4, 1, 4)]
    assert shape(text) == [("a", [("b", ["c", "d", "e"]), "f"])]


def test_the_first_line_of_a_block_may_be_the_odd_one() -> None:
    text = "a\n     b\n  c\n  d\n"
    assert told(text) == [("M102", 2, 1, 6)]
    assert shape(text) == [("a", ["b", "c", "d"])]
    assert laid(text)[1][0].edits[0].text == "  "


def test_the_first_line_of_a_file_stands_at_the_margin() -> None:
    assert told("  countwheel 1\nclock\n") == [("M102", 1, 1, 3)]
    assert shape("  countwheel 1\nclock\n") == ["countwheel 1", "clock"]


def test_of_the_first_two_lines_of_a_block_the_one_at_the_usual_depth_is_right() -> None:
    assert told("a\n  b\n    c\n   d\n   e\n   f\n  g\n") == [("M102", 4, 1, 4)]
    assert told("a\n  b\n     c\n    d\n    e\n    f\n  g\n") == [("M102", 3, 1, 6)]
    assert told("a\n  b\n    c\n   d\n\n      e\n    f\n  g\n") == [("M102", 4, 1, 4)]


def test_an_odd_line_between_two_depths_belongs_to_the_nearer() -> None:
    assert shape("a\n  b\n        c\n        d\n   e\n") == [("a", [("b", ["c", "d"]), "e"])]
    assert shape("a\n  b\n        c\n        d\n       e\n") == [("a", [("b", ["c", "d", "e"])])]


def test_nesting_without_end_is_told_once_and_read_on() -> None:
    text = "".join(" " * depth + 'remark "x"\n' for depth in range(5000))
    report = laid(text)[1]
    assert [one.code for one in report] == ["M102"]
    assert Source("x.movement", text).place(report[0].span.start).line == DEEPEST + 1
    assert len(list(laid(text)[0].walk())) == 5000
    check_text(text)  # no recursion that ends the run


# -- comments ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "content", "comment"),
    [
        ("wheel 80 # counted twice", "wheel 80", "# counted twice"),
        ("wheel 80 #", "wheel 80", "#"),
        ("wheel 80\t# tab before it", "wheel 80", "# tab before it"),
        ("strikes G#", "strikes G#", ""),
        ("strikes G# # the hour", "strikes G#", "# the hour"),
        ('remark "No. # 4"', 'remark "No. # 4"', ""),
        ('remark "No. # 4" # a note', 'remark "No. # 4"', "# a note"),
        ('remark "a" "b # c" # d', 'remark "a" "b # c"', "# d"),
        ('remark "open # really', 'remark "open', "# really"),
        ("a # b # c", "a", "# b # c"),
        ('a # "b', "a", '# "b'),
        ('history """one # line""" # note', 'history """one # line"""', "# note"),
    ],
)
def test_where_a_comment_begins(line: str, content: str, comment: str) -> None:
    found = laid(line)[0].lines[0]
    assert (found.content, found.comment) == (content, comment)
    assert (found.start, found.end) == (0, len(content))


# -- text blocks -------------------------------------------------------------------


def block(text: str) -> str | None:
    return next(line for line in laid(text)[0].walk() if line.content.endswith('"""')).block


def test_a_text_block_keeps_its_own_indentation() -> None:
    assert block('history """\n    One.\n      Two.\n\n    Three.\n    """\n') == "One.\n  Two.\n\nThree."


@pytest.mark.parametrize("closing", ['"""', '    """', '  """  '])
def test_the_closing_quotes_may_stand_at_any_depth(closing: str) -> None:
    text = f'clock\n  history """\n    One.\n{closing}\n  frame flatbed\n'
    assert block(text) == "One."
    assert told(text) == []
    assert shape(text) == [("clock", ['history """', "frame flatbed"])]


def test_text_may_begin_and_end_beside_the_quotes() -> None:
    text = 'clock\n  history """One.\n    Two # three.\n    "Four"."""\n  frame flatbed\n'
    assert block(text) == 'One.\nTwo # three.\n"Four".'
    assert told(text) == []
    assert shape(text)[0][1][1] == "frame flatbed"


def test_a_comment_may_follow_the_opening_quotes() -> None:
    tree, report = laid('history """  # told in 1952\n  One.\n  """\n')
    assert (tree.lines[0].block, tree.lines[0].comment, report) == ("One.", "# told in 1952", [])


@pytest.mark.parametrize(
    "inside", ["# not a comment", '"not a quote', "\tnot a tab fault", "12,5 and 2/5/2026", "", "    "]
)
def test_nothing_in_a_text_block_is_read(inside: str) -> None:
    assert told(f'history """\n  {inside}\n  """\nclock\n') == []


def test_a_text_in_one_line() -> None:
    assert shape('history """Moved in 1934."""\nclock\n') == ['history """Moved in 1934."""', "clock"]
    result = check_text(
        'countwheel 1\nclock "x"\n  place "p"\n    latitude 50 °N\n  history """ A "b" # c. """  told by "KT"\n'
    )
    node = result.clock.fact("clock", "history") if result.clock else None
    assert node is not None
    assert (node.text(), node.evidence.by) == ('A "b" # c.', "KT")
    assert not result.has_errors


def test_an_empty_text_block() -> None:
    assert block('history """\n"""\n') == ""
    assert block('history """\n\n\n    """\n') == ""


def test_a_text_not_closed_takes_only_what_is_deeper() -> None:
    text = 'clock\n  history """\n    One.\n\n    Two.\n  frame flatbed\ntrain going\n'
    assert told(text) == [("M104", 2, 11, 14)]
    assert block(text) == "One.\n\nTwo."
    assert shape(text) == [("clock", ['history """', "frame flatbed"]), "train going"]


def test_a_text_not_closed_does_not_swallow_the_next_one() -> None:
    text = 'clock\n  history """\n    One.\n  frame flatbed\n  remark """\n    Two.\n    """\n  made 1887\n'
    assert told(text) == [("M104", 2, 11, 14)]
    assert shape(text) == [("clock", ['history """', "frame flatbed", 'remark """', "made 1887"])]


def test_a_text_not_closed_at_the_end_of_the_file() -> None:
    for end in ("", "\n", "\n\n"):
        assert told('history """\n  One.' + end) == [("M104", 1, 9, 12)]


def test_a_quote_behind_a_quoted_word_opens_no_text() -> None:
    assert shape('remark "a"""\n  b\n') == [('remark "a"""', ["b"])]


# -- the whole file ----------------------------------------------------------------


@pytest.mark.parametrize(
    "text", ["", "\n", "\n\n\n", "   ", "  \n\t\n", "# only a comment", "# one\n\n  # two\n"]
)
def test_a_file_with_nothing_in_it(text: str) -> None:
    tree, report = laid(text)
    assert tree.lines == []
    assert report == []
    result = check_text(text)
    assert {one.code for one in result.diagnostics} <= {"M006", "M604"}
    assert result.diagnostics[0].code == "M006"


@pytest.mark.parametrize("end", ["\r\n", "\r", "\n"])
def test_all_line_ends_are_the_same(end: str) -> None:
    text = "train going\n  arbor a  # c\n\n    wheel 80\n"
    assert decode(text.replace("\n", end).encode()) == text


def test_mixed_line_ends() -> None:
    assert decode(b"a\r\nb\rc\n\r\n\rd") == "a\nb\nc\n\n\nd"


def test_a_byte_order_mark_is_taken_off() -> None:
    assert decode("\ufeffcountwheel 1\n".encode()) == "countwheel 1\n"


def test_the_last_line_needs_no_end() -> None:
    assert shape("a\n  b") == shape("a\n  b\n")
    tree, _ = laid("a\n  b   ")
    assert (tree.lines[0].children[0].start, tree.lines[0].children[0].end) == (4, 5)


def test_spaces_behind_a_line_are_nothing() -> None:
    assert shape("a   \n  b \t \n") == [("a", ["b"])]


def test_places_are_places_in_the_file() -> None:
    text = 'é\n  "𝄞 clef" x\n\n    ½ in\n'
    for line in laid(text)[0].walk():
        assert text[line.start : line.end] == line.content


@pytest.mark.parametrize(
    "sign", ["\x00", "\x07", "\x0b", "\x0c", "\x1b", "\x7f", "\x85", "\u2028", "\u202e", "\u200b", "\ufeff"]
)
def test_a_sign_that_cannot_be_seen_is_told_once(sign: str) -> None:
    text = f"train go{sign}ing{sign}\n  arbor a\n"
    assert told(text) == [("M005", 1, 9, 10)]
    assert laid(text)[1][0].edits[0].text == ""
