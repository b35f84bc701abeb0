"""The content tree, the XML that is read into it, and the two printers on it."""

from __future__ import annotations

import pytest
from countwheel.emit.clean import printable_text
from countwheel.emit.document import (
    Blank,
    Chapter,
    Document,
    Items,
    Link,
    Paragraph,
    Picture,
    Section,
    Space,
    Table,
    Text,
)
from countwheel.emit.drawing import Drawing
from countwheel.emit.html import print_html
from countwheel.emit.keeper_text import KeeperText, keeper_xml
from countwheel.emit.markup import MarkupError, read_blocks
from countwheel.emit.pdf import print_pdf
from countwheel.emit.svg_inline import inline_svg, size_mm
from countwheel.emit.traversal import anchors, dangling, plain, walk
from hypothesis import given, settings
from hypothesis import strategies as st
from manual_reading import pdf_text, read_page, read_pdf, squeezed

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="100mm" '
    'height="50mm" viewBox="0 0 100 50" onload="x()"><script>x()</script><style>.a {{fill:none}}</style>'
    '<defs><marker id="m"/></defs><path class="a" marker-end="url(#m)" d="M0 0L9 9"/>'
    '<use xlink:href="#m"/><a xlink:href="http://example.invalid/"><text x="5" y="5">{word}</text></a></svg>'
)
DRAWING = Drawing("train-one", "One train", SVG.format(word="wheel 144"), "A wheel of 144 teeth.")
TWIN = Drawing("train-two", "Other train", SVG.format(word="wheel 96"), "A wheel of 96 teeth.")


def document(*blocks: object, chapters: tuple[Chapter, ...] = ()) -> Document:
    first = Chapter("first", 1, "First", blocks)  # type: ignore[arg-type]
    return Document("A clock", "A paper", "A board", "A clock", (), (first, *chapters))


# -- reading the XML -----------------------------------------------------------
def test_every_block_is_read() -> None:
    xml = """
      <p>One <em>two</em> <blank/></p>
      <list><item>a</item><item><p>b</p><steps><step>c</step></steps></item></list>
      <table caption="T"><head><cell>H</cell><cell align="right">N</cell></head>
        <row><cell head="yes">r</cell><cell align="right">12</cell></row></table>
      <facts><fact name="Owner">x</fact></facts>
      <caution hazard="falling" title="weights">Never below.</caution>
      <space lines="2">Write:</space>
      <picture of="train-one"/>
      <words><word id="word-fly" name="fly">vanes</word></words>
      <own source="going"><p>mine</p></own>
      <section id="s" title="S"><p>in <ref to="first">here</ref></p></section>
    """
    blocks = read_blocks(xml, {"train-one": DRAWING}, "test")
    assert [block.kind for block in blocks] == [
        "paragraph", "items", "table", "facts", "caution", "space", "picture", "words", "own", "section",
    ]  # fmt: skip
    table = blocks[2]
    assert isinstance(table, Table)
    assert (table.rows[0][0].head, table.rows[0][1].align) == (True, "right")
    assert anchors(document(*blocks)) == {"first", "s", "drawing-train-one", "word-fly"}
    assert dangling(document(*blocks)) == ()


def test_spaces_are_run_together_and_words_kept_apart() -> None:
    (block,) = read_blocks("<p>\n  one\n  <em> two </em>\n three \n</p>", {}, "test")
    assert squeezed(plain(block)) == "one two three"
    assert isinstance(block, Paragraph)
    assert block.parts[0] == Text("one ")


def test_no_break_space_is_kept() -> None:
    (block,) = read_blocks("<p>10\u00a0in</p>", {}, "test")
    assert plain(block) == "10\u00a0in\n"


@pytest.mark.parametrize(
    "xml",
    [
        "<p>open",
        "<p><script>x</script></p>",
        "<blink>x</blink>",
        "words beside <p>a block</p>",
        "<list><p>x</p></list>",
        "<table><head><cell>a</cell></head><row><cell>1</cell><cell>2</cell></row></table>",
        "<table><row><cell>1</cell></row></table>",
        "<caution title='no hazard'>x</caution>",
        "<picture of='none'/>",
        "<p><ref>to nowhere</ref></p>",
    ],
)
def test_what_is_not_in_the_vocabulary_is_a_fault(xml: str) -> None:
    with pytest.raises(MarkupError):
        read_blocks(xml, {}, "test")


def test_empty_lists_and_sections_vanish() -> None:
    assert read_blocks("<list/><p> </p><section id='s' title='S'><steps/></section>", {}, "test") == ()


def test_dangling_links_are_found() -> None:
    link = Paragraph((Link("nowhere", (Text("x"),)),))
    assert dangling(document(Section("s", "S", (Items(False, ((link,),)),)))) == ("nowhere",)
    assert sum(isinstance(part, Link) for part in walk(document(link))) == 1


# -- the keeper's own text -----------------------------------------------------
def own(text: str, markdown: bool = True) -> str:
    return "".join(plain(block) for block in read_blocks(keeper_xml(KeeperText(text, markdown)), {}, "own"))


def test_markdown_becomes_blocks() -> None:
    text = "# Head\n\n*a* **b** `c`\n\n- one\n- two\n\n1. x\n\n| h | i |\n|---|---|\n| 1 | 2 |\n\n> q\n"
    text += "\n    code"
    kinds = [block.kind for block in read_blocks(keeper_xml(KeeperText(text, True)), {}, "own")]
    assert kinds == ["paragraph", "paragraph", "items", "items", "table", "own", "paragraph"]


def test_html_in_markdown_stays_text() -> None:
    assert (
        own("<b>x</b> <!-- y --> &amp;\n\n<script>\nz\n</script>")
        == "<b>x</b> <!-- y --> &\n<script> z </script>\n"
    )


def test_links_and_pictures_become_their_words() -> None:
    assert own("[a](http://x.invalid/) ![b](c.png) [d](javascript:e)") == (
        "a (http://x.invalid/) b [d](javascript:e)\n"
    )


def test_a_quoted_text_is_not_markdown() -> None:
    assert own("5 * 3 * 2 _x_ `y`", markdown=False) == "5 * 3 * 2 _x_ `y`\n"


@given(st.text(max_size=60))
def test_a_quoted_text_is_printed_as_it_stands(text: str) -> None:
    assert squeezed(own(text, markdown=False)) == squeezed(printable_text(text))


@given(st.text(max_size=200))
def test_any_markdown_can_be_read(text: str) -> None:
    own(text)


def test_marks_that_turn_a_line_are_taken_out() -> None:
    # Unicode annex 9 (2.1-2.4): embeddings, overrides and isolates; XML 1.0, production 2: control characters
    assert printable_text("a\u202eb\u2066c\x00d\ud800") == "abc\ufffdd\ufffd"


# -- HTML ----------------------------------------------------------------------
@given(st.text(max_size=60))
def test_any_text_comes_out_of_html_as_it_went_in(text: str) -> None:
    shown = printable_text(text).replace("\r", " ")
    page = read_page(print_html(document(Paragraph((Text(shown),)))))
    assert page.tags.count("p") == 2  # the way to the contents, and this one
    assert squeezed(shown) in page.text


def test_right_to_left_is_kept_to_itself() -> None:
    html = print_html(document(Paragraph((Text("to שלום (עולם) 5"),))))
    assert "to <bdi>שלום (עולם</bdi>) 5" in html


def test_a_gap_to_write_in_is_seen_and_said() -> None:
    html = print_html(document(Paragraph((Text("day: "), Blank())), Space((Text("Write:"),), 3)))
    assert html.count('class="gap" aria-hidden="true"') == 4
    assert html.count("(room to write)") == 4


def test_drawings_cannot_meet_or_run_anything() -> None:
    html = print_html(document(Picture("drawing-train-one", DRAWING), Picture("drawing-train-two", TWIN)))
    page = read_page(html)
    assert len(page.ids) == len(set(page.ids))
    assert "script" not in page.tags
    assert not any(name.startswith("on") for _, attributes in page.elements for name in attributes)
    assert 'marker-end="url(#train-one-m)"' in html
    assert "example.invalid" not in html
    assert "#train-two-art .a {fill:none}" in html
    assert {"wheel 144", "A wheel of 144 teeth."} <= set(page.pieces)


def test_a_drawing_says_its_size_and_its_words() -> None:
    assert size_mm(DRAWING) == (100.0, 50.0)
    root = inline_svg(DRAWING)
    assert root.get("role") == "img"
    assert [child.text for child in root[:2]] == ["One train", "A wheel of 144 teeth."]


# -- PDF -----------------------------------------------------------------------
@settings(max_examples=15, deadline=None)
@given(st.text(st.sampled_from("#$\\*_`<>&[]{}@\"'=-~/ ab\n"), max_size=40))
def test_no_text_is_markup_in_pdf(text: str) -> None:
    data = print_pdf(document(Paragraph((Text("begin" + text + "end"),))))
    assert "".join(("begin" + text + "end").split()) in "".join(pdf_text(data).split()).replace("\u00ad", "")


def test_a_letter_without_a_shape_is_named() -> None:
    text = pdf_text(print_pdf(document(Paragraph((Text("a 🔔 中 \u200dz"),)))))
    assert "a [bell] [cjk unified ideograph-4e2d] z" in text


def test_letters_that_have_no_shape_together_are_named() -> None:
    # each of these marks can be printed alone, and not all of them on top of one another
    data = print_pdf(document(Paragraph((Text("a\u06f2\u0346\u0336\u0348\u0953p\u035e ש end"),))))
    assert "[hebrew letter shin] end" in pdf_text(data)


def test_a_drawing_may_hold_any_letter() -> None:
    odd = Drawing("odd", "Odd", SVG.format(word="bell 🔔 中 &lt;b&gt;"), "Odd 🔔 letters")
    assert print_pdf(document(Picture("drawing-odd", odd)))[:5] == b"%PDF-"


def test_a_picture_is_in_the_pdf_with_its_words() -> None:
    reader = read_pdf(print_pdf(document(Picture("drawing-train-one", DRAWING))))
    assert "wheel 144" in reader.pages[1].extract_text()
    assert b"A wheel of 144 teeth." in b"".join(
        str(obj.get("/Alt", "")).encode()
        for obj in map(reader.get_object, range(1, len(reader.xref[0])))
        if isinstance(obj, dict)
    )


def test_paper_and_date_are_what_is_asked_for() -> None:
    letter = read_pdf(print_pdf(document(), paper="us-letter", timestamp=1_700_000_000))
    # ISO 216: A4 is 210 by 297 mm; ANSI Y14.1: Letter is 8 1/2 by 11 in
    assert [round(float(side)) for side in letter.pages[0].mediabox[2:]] == [612, 792]
    assert letter.metadata
    assert letter.metadata.creation_date
    assert letter.metadata.creation_date.timestamp() == 1_700_000_000
    plain_one = read_pdf(print_pdf(document()))
    assert [round(float(side) * 25.4 / 72) for side in plain_one.pages[0].mediabox[2:]] == [210, 297]
    assert plain_one.metadata
    assert plain_one.metadata.creation_date is None
