"""Diagnostics as text: everything is pointed at where it stands, and nothing harmful gets through."""

from __future__ import annotations

import re

from countwheel.diagnostics.cells import harmless, show, wide
from countwheel.diagnostics.record import Diagnostic, Label
from countwheel.diagnostics.registry import say
from countwheel.diagnostics.render_text import render, summary
from countwheel.source import Source
from hypothesis import given
from hypothesis import strategies as st


def at(source: Source, part: str, code: str = "M201", label: str = "") -> Diagnostic:
    start = source.text.index(part)
    return say(code, source.span(start, start + len(part)), "Not known.", label=label)


def rendered(source: Source, *diagnostics: Diagnostic, width: int | None = None) -> list[str]:
    return render(diagnostics, {source.file: source}, width=width).splitlines()


def pointed_at(lines: list[str]) -> str:
    """The characters of the source line that stand, column by column, over the underline."""
    under = next(number for number, line in enumerate(lines) if re.match(r" +\^+", line))
    marks = re.match(r" +(\^+)", lines[under])
    assert marks is not None
    start, end = marks.span(1)
    column, over = 0, ""
    for char in lines[under - 1]:
        if start <= column < end:
            over += char
        column += wide(char)
    return over


def test_the_whole_layout() -> None:
    source = Source("tower.movement", "countwheel 1\n\ntrain going\n  arbor centre\n    weel 80\n")
    fault = say(
        "M201",
        source.span(45, 49),
        "`weel` is not known in an arbor.",
        label="not known here",
        others=[Label(source.span(34, 40), "this arbor")],
        hints=["Write `wheel`.", "`countwheel words arbor` lists the words of an arbor."],
    )
    doubt = say("M006", source.span(0, 0), "There is no version line.")
    assert source.text[45:49] == "weel"
    assert source.text[34:40] == "centre"
    assert render([fault, doubt], {source.file: source}) == (
        "doubt M006  There is no version line.\n"
        "  at tower.movement:1:1\n"
        "    line 1: countwheel 1\n"
        "            ^\n"
        "\n"
        "error M201  `weel` is not known in an arbor.\n"
        "  at tower.movement:5:5\n"
        "    line 5:     weel 80\n"
        "                ^^^^ not known here\n"
        "  and tower.movement:4:9\n"
        "    line 4:   arbor centre\n"
        "                    ^^^^^^ this arbor\n"
        "  > Write `wheel`.\n"
        "  > `countwheel words arbor` lists the words of an arbor.\n"
        "\n"
        "1 error, 1 doubt\n"
    )


def test_nothing_amiss_prints_nothing() -> None:
    assert render([], {}) == ""
    assert summary([]) == "nothing amiss"


def test_the_summary_counts_in_words() -> None:
    source = Source("a.movement", "x")
    span = source.span(0, 1)
    given_ = [say(code, span, "m") for code in ("M201", "M201", "M006", "M602", "M602")]
    assert summary(given_) == "2 errors, 1 doubt, 2 pieces of advice"


def test_wide_characters_take_two_columns() -> None:
    # U+9418 and U+697C are W in the Unicode Character Database's EastAsianWidth.txt (UAX #11).
    source = Source("a.movement", 'clock "鐘楼" tower\n')
    lines = rendered(source, at(source, "tower"))
    assert pointed_at(lines) == "tower"
    assert lines[3].index("^") == lines[2].index("tower") + 2
    lines = rendered(source, at(source, "鐘楼"))
    assert lines[3].count("^") == 4


def test_combining_characters_take_no_column() -> None:
    # U+0301 COMBINING ACUTE ACCENT has category Mn in the Unicode Character Database.
    source = Source("a.movement", 'maker "Rene\u0301" lost\n')
    lines = rendered(source, at(source, "lost"))
    assert lines[3].index("^") == lines[2].index("lost") - 1
    assert pointed_at(lines) == "lost"


def test_a_combining_character_alone_is_still_underlined() -> None:
    source = Source("a.movement", "e\u0301\n")
    assert rendered(source, at(source, "\u0301"))[3].count("^") == 1


def test_tabs_are_shown_and_the_underline_keeps_in_step() -> None:
    source = Source("a.movement", "\tab\tweel 80\n")
    lines = rendered(source, at(source, "weel"))
    assert lines[2] == "    line 1: ⇥   ab⇥ weel 80"
    assert pointed_at(lines) == "weel"
    assert rendered(source, at(source, "\t"))[3].count("^") == 4


def test_an_empty_place_at_the_end_of_the_file() -> None:
    source = Source("a.movement", "clock\n")
    lines = rendered(source, say("M104", source.span(6, 6), "Not closed."))
    assert lines[1:4] == ["  at a.movement:2:1", "    line 2:", "            ^"]
    source = Source("a.movement", "clock")
    lines = rendered(source, say("M204", source.span(5, 5), "Missing.", label="a value"))
    assert lines[1:4] == ["  at a.movement:1:6", "    line 1: clock", "                 ^ a value"]


def test_a_file_of_no_length() -> None:
    source = Source("a.movement", "")
    lines = rendered(source, say("M006", source.span(0, 0), "No version line."))
    assert lines[1:4] == ["  at a.movement:1:1", "    line 1:", "            ^"]


def test_a_place_past_the_end_is_the_end() -> None:
    source = Source("a.movement", "ab")
    assert "  at a.movement:1:3" in rendered(source, say("M006", source.span(90, 99), "x"))


def test_a_place_of_several_lines_is_shown_by_its_first() -> None:
    source = Source("a.movement", "history one\ntwo\nthree")
    lines = rendered(source, at(source, "one\ntwo", label="never closed"))
    assert pointed_at(lines) == "one"
    assert lines[3].endswith("^^^ never closed (to line 2)")


def test_windows_line_ends_are_not_shown() -> None:
    source = Source("a.movement", "clock\r\nweel\r\n")
    assert rendered(source, at(source, "weel"))[2:4] == ["    line 2: weel", "            ^^^^"]


def test_several_files_come_in_the_order_of_their_names_then_places_then_codes() -> None:
    one, two = Source("b.movement", "x y"), Source("a.movement", "x y")
    given_ = [
        say("M205", one.span(0, 1), "e"),
        say("M201", one.span(0, 1), "d"),
        say("M101", one.span(2, 3), "f"),
        say("M501", two.span(2, 3), "c", others=[Label(one.span(0, 1), "against this")]),
    ]
    text = render(given_, {"a.movement": two, "b.movement": one})
    assert re.findall(r"^error (M\d+)", text, flags=re.MULTILINE) == ["M501", "M201", "M205", "M101"]
    assert "  and b.movement:1:1\n    line 1: x y\n            ^ against this\n" in text
    assert text == render(reversed(given_), {"b.movement": one, "a.movement": two})


def test_a_file_without_text_is_named() -> None:
    fault = say("M001", Source("gone.movement", "").span(0, 0), "It is not there.", label="no such file")
    assert render([fault], {}) == (
        "error M001  It is not there.\n  at gone.movement: no such file\n\n1 error\n"
    )


def test_long_lines_are_cut_around_the_place() -> None:
    for before, after in ((0, 400), (400, 0), (400, 400), (90, 5), (5, 90)):
        source = Source("a.movement", "x" * before + " weel " + "y" * after)
        for width in (40, 60, 100):
            lines = rendered(source, at(source, "weel", label="not known"), width=width)
            assert pointed_at(lines) == "weel"
            assert all(wide(line) <= width for line in lines), (before, after, width)
            assert ("…" in lines[2]) == (12 + before + after + 6 > width)


def test_a_place_wider_than_the_line_is_shown_from_its_beginning() -> None:
    source = Source("a.movement", "begin" + "x" * 500)
    lines = rendered(source, at(source, source.text), width=60)
    assert lines[2].startswith("    line 1: beginxx")
    assert lines[2].endswith("…")
    assert all(wide(line) <= 60 for line in lines)


def test_sentences_are_wrapped_only_where_a_width_is_given() -> None:
    source = Source("a.movement", "weel")
    message = "word " * 40
    fault = say("M201", source.span(0, 4), message.strip(), label="l " * 60, hints=["hint " * 30])
    assert all(wide(line) <= 50 for line in rendered(source, fault, width=50))
    assert len(rendered(source, fault)[0]) > 190


def test_nothing_that_a_terminal_would_obey_gets_through() -> None:
    evil = 'remark "\x1b[2J\x1b]0;gone\x07\x9b31m\u202etxt\u200b\x7f\x08"'
    source = Source("a\x1b[31m.movement", evil)
    fault = say(
        "M205", source.span(0, 6), evil, label=evil, others=[Label(source.span(7, 9), evil)], hints=[evil]
    )
    for text in (
        render([fault], {source.file: source}),
        render([fault], {}),
        render([fault], {source.file: source}, width=40),
    ):
        assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u200b\u2028-\u202e\u2066-\u2069]", text)
        assert "␛[2J" in text


def test_colour_is_never_the_only_sign() -> None:
    source = Source("a.movement", "weel 80")
    fault, plain = at(source, "weel"), {source.file: source}
    coloured = render([fault], plain, colour=True)
    assert "\x1b[1;31m" in coloured
    assert re.sub(r"\x1b\[[\d;]*m", "", coloured) == render([fault], plain)


def test_control_pictures() -> None:
    # Unicode 'Control Pictures' block: U+2400 + the control's number; DEL is U+2421.
    assert [show(char)[0] for char in "\x00\x1b\x7f"] == ["␀", "␛", "␡"]
    assert harmless("a\u202eb") == "a‹U+202E›b"
    assert harmless("naïve 鐘 ½ ±") == "naïve 鐘 ½ ±"


@given(st.text(), st.integers(0, 50), st.integers(0, 50), st.integers(1, 120))
def test_any_text_can_be_shown(text: str, start: int, length: int, width: int) -> None:
    source = Source("a.movement", text)
    shown = render(
        [say("M201", source.span(start, start + length), text, label=text)],
        {"a.movement": source},
        width=width,
    )
    assert shown.endswith("\n\n1 error\n")
    assert "^" in shown
    assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\ud800-\udfff]", shown)
