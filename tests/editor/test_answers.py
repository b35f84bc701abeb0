"""What the language server's functions say of a description, without a server."""

from __future__ import annotations

from itertools import pairwise

import pytest
from countwheel.diagnostics.record import Edit
from countwheel.editor import completing, hints, hovering, mending, naming, outline, renaming, tokens
from countwheel.editor.analysis import Analysis
from countwheel.source import Source
from editing import MAIN, STRIKE, analysed, with_line


def labels(line: str, behind: str) -> list[str]:
    analysis, at = with_line(line, behind)
    if "great.pi" in line:  # a fact for the season to change
        main = analysis.sources["main.movement"].text.replace(
            "    wheel 144", "    wheel 144\n    pivot 8 mm"
        )
        analysis, at = analysed(main=main), at + len("\n    pivot 8 mm")
    return [offer.label for offer in completing.offers(analysis, "main.movement", at)]


@pytest.mark.parametrize(
    ("line", "behind", "first"),
    [
        ("      tu", 'diameter 10 in  measured on 2026-05-02 by "KT"', "turns of line"),
        ("      turns o", 'diameter 10 in  measured on 2026-05-02 by "KT"', "turns of line"),
        ("      taper 2 ", "      weight ?", "mm"),
        ("      taper 2 m", "      weight ?", "mm"),
        ("      taper 2 mm ", "      weight ?", "counted"),
        ("      taper 2 mm measured ", "      weight ?", "on"),
        ("      taper 2 mm measured by ", "      weight ?", '"KT"'),
        ("      line st", "      weight ?", "steel wire rope"),
        ("      line steel ", "      weight ?", "wire rope"),
        ("    rate once ", "    wheel 144", "an"),
        ("    driven by going.c", "    wheel 144", "going.centre"),
        ("esc", "  mass 3 cwt", "escapement"),
        ("expect going ", "  mass 3 cwt", "lasts at least"),
        ("season winter\n  going.great.pi", "  mass 3 cwt", "going.great.pivot"),
        ("season winter\n  going.great.pivot 3 ", "  mass 3 cwt", "mm"),
        ("log\n  2026-05-01 09:00 found 3 s ", "  mass 3 cwt", "fast"),
        ("  no h", "  mass 3 cwt", "no hung"),
    ],
)
def test_what_can_be_written_is_offered(line: str, behind: str, first: str) -> None:
    assert labels(line, behind)[:1] == [first]


def test_what_is_expected_is_not_itself_measured() -> None:
    assert labels("expect going lasts at least 8 ", "  mass 3 cwt") == []


def test_words_of_other_blocks_are_not_offered() -> None:
    assert "arbor" not in labels("      ", "      weight ?")
    assert "arbor" in labels("  ", "    escape wheel 30")


def test_nothing_is_offered_in_a_comment_or_a_text() -> None:
    assert labels("  # ba", "  mass 3 cwt") == []
    assert labels('  remark "ba', "  mass 3 cwt") == []


def test_an_offer_replaces_all_of_the_word_that_has_begun() -> None:
    analysis, at = with_line("      turns o", "      weight ?")
    (offer,) = completing.offers(analysis, "main.movement", at)
    assert analysis.sources["main.movement"].text[offer.start : offer.end] == "turns o"


def said(analysis: Analysis, words: str, on: int = 1) -> str:
    found = hovering.hover(analysis, "main.movement", MAIN.index(words) + on)
    return found.text if found is not None else ""


def test_hover_tells_meaning_form_figures_and_what_waits() -> None:
    analysis = analysed()
    centre = said(analysis, "arbor centre")
    assert "one arbor with all that it carries" in centre
    # 144 teeth into a pinion of 12: one turn of the barrel makes twelve of the centre arbor.
    assert "turns of going.centre for one of going.great: **12**" in centre
    assert "turns an hour of going.centre: **1 turn/h**" in centre
    assert "Waiting for this:" in said(analysis, "weight ?")
    assert "1 in = 0.0254 m" in said(analysis, "10 in", 4)  # International yard and pound agreement, 1959
    assert "measured on the part itself" in said(analysis, "measured")
    assert said(analysis, 'clock "Quarry').startswith("**clock**")


def written(analysis: Analysis, edits: tuple[Edit, ...]) -> dict[str, str]:
    texts = {file: source.text for file, source in analysis.sources.items()}
    for edit in sorted(edits, key=lambda one: -one.span.start):
        file, start, end = edit.span
        texts[file] = texts[file][:start] + edit.text + texts[file][end:]
    return texts


def test_a_part_is_renamed_in_all_files() -> None:
    analysis = analysed()
    made = renaming.rename(analysis, "trains/strike.movement", STRIKE.index("centre") + 2, "hour arbor")
    assert not made.why_not
    texts = written(analysis, made.edits)
    assert 'arbor "hour arbor"' in texts["main.movement"]
    assert "expect going.hour_arbor turns" in texts["main.movement"]
    assert "let off by going.hour_arbor\n" in texts["trains/strike.movement"]
    assert texts["main.movement"].count("centre") == 0


def test_a_name_that_is_also_a_word_there_is_quoted() -> None:
    analysis = analysed(main=MAIN.replace("wheel 144", "wheel great 144"))
    at = analysis.sources["main.movement"].text.index("wheel great") + 7
    (edit,) = renaming.rename(analysis, "main.movement", at, "crown").edits
    assert edit.text == '"crown"'


@pytest.mark.parametrize("name", ["escape", "", '"', "three\nlines"])
def test_a_name_that_cannot_be_is_refused(name: str) -> None:
    made = renaming.rename(analysed(), "main.movement", MAIN.index("arbor centre") + 8, name)
    assert made.edits == ()
    assert made.why_not


def test_only_names_can_be_renamed() -> None:
    analysis = analysed()
    assert renaming.renameable(analysis, "main.movement", MAIN.index("weight ?") + 1) is None
    assert renaming.renameable(analysis, "main.movement", MAIN.index('"hour"') + 2) is not None


def test_definition_and_references_go_through_both_files() -> None:
    analysis = analysed()
    place = naming.place_at(analysis, "trains/strike.movement", STRIKE.index('"hour"') + 2)
    assert place is not None
    span = naming.declaration(analysis, place.fact)
    assert (span.file, span.start) == ("main.movement", MAIN.index('"hour"'))
    assert {one.span.file for one in naming.same(analysis, place.fact)} == set(analysis.sources)
    at = MAIN.index("trains/strike")
    assert naming.included_file(analysis, "main.movement", at) == "trains/strike.movement"


def test_the_outline_is_nested() -> None:
    found = outline.symbols(analysed(), "main.movement")
    going = next(one for one in found if one.name == "train going")
    assert [one.name for one in going.below] == ["arbor great", "arbor centre", "arbor escape"]
    assert [(one.name, one.detail) for one in going.below[1].below][:2] == [("pinion", "12"), ("wheel", "80")]
    assert all(a.span.start <= a.name_span.start and a.name_span.end <= a.span.end for a in found)


def test_a_further_value_is_a_symbol_of_its_own() -> None:
    text = MAIN.replace("    wheel 144", "    wheel great\n      144 counted\n      143 copied")
    great = outline.symbols(analysed(main=text), "main.movement")[3].below[0]
    (wheel,) = [one for one in great.below if one.name == "wheel great"]
    assert [one.name for one in wheel.below] == ["144 counted", "143 copied"]
    # LSP 3.17, "DocumentSymbol": `selectionRange` must be contained by `range`.
    for one in (wheel, *wheel.below):
        assert one.span.start <= one.name_span.start
        assert one.name_span.end <= one.span.end


def test_blocks_texts_and_comments_fold() -> None:
    text = '# one\n# two\nclock "A"\n  history """\n    Long ago.\n    """\n'
    folds = outline.folds(analysed(main=text), "main.movement")
    assert folds == [(0, 1, "comment"), (2, 5, "region"), (3, 5, "region")]


def test_hints_stand_behind_arbors_and_wheels() -> None:
    found = hints.hints(analysed(), "main.movement", 0, len(MAIN))
    # 80 teeth into a pinion of 10: eight turns of the escape arbor in an hour.
    assert {"1 turn/h", "8 turns/h"} <= {hint.text for hint in found}
    assert [hint.text for hint in found if hint.text.startswith("ratio")] == ["ratio 12", "ratio 8"]


def test_tokens_follow_one_another_and_keep_to_their_rows() -> None:
    analysis = analysed()
    found = tokens.tokens(analysis, "main.movement")
    assert all(one.end <= two.start for one, two in pairwise(found))
    assert all("\n" not in MAIN[one.start : one.end] for one in found)
    kinds = {MAIN[one.start : one.end]: one.kind for one in found}
    assert kinds["train"] == "keyword"
    assert kinds["diameter"] == "property"
    assert kinds["measured"] == "modifier"
    assert kinds["in"] == "type"
    assert kinds["centre"] == "variable"


def test_mends_are_those_of_the_diagnostics_there() -> None:
    text = MAIN.replace("  mass 3 cwt", "  mas 3 cwt")
    analysis = analysed(main=text)
    at = text.index("mas 3")
    (mend,) = mending.mends(analysis, "main.movement", at, at)
    assert (mend.edit.text, mend.diagnostic.code) == ("mass", "M201")
    assert mending.mends(analysis, "main.movement", 0, 0) == []


def test_formatting_changes_only_rows_that_differ() -> None:
    source = Source("a.movement", 'countwheel 1\n\nclock   "A"\n')
    assert [(edit.span.start, edit.text) for edit in mending.canonical(source)] == [(14, 'clock "A"\n')]
    assert mending.canonical(Source("a.movement", 'clock "A\n')) == []


@pytest.mark.parametrize(
    "text",
    [
        "",
        "\n",
        '"""',
        "?",
        "train",
        "\ttrain going\n",
        "x" * 3000,
        '  arbor "',
        "a\u2028b\n",
        "\x00\x0c",
        "\ud800",
    ],
)
def test_a_broken_text_is_still_answered(text: str) -> None:
    analysis = analysed(main=text)
    for at in range(min(len(text), 30) + 1):
        completing.offers(analysis, "main.movement", at)
        hovering.hover(analysis, "main.movement", at)
        naming.place_at(analysis, "main.movement", at)
        renaming.rename(analysis, "main.movement", at, "other")
    outline.symbols(analysis, "main.movement")
    outline.folds(analysis, "main.movement")
    hints.hints(analysis, "main.movement", 0, len(text))
    tokens.tokens(analysis, "main.movement")
    mending.canonical(analysis.sources["main.movement"])
