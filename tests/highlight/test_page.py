"""A description as HTML: read back by an XML parser, it is the text, line by line."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from countwheel.highlight.page import FRAME, source_css, source_html
from hypothesis import given
from hypothesis import strategies as st

SPECS = sorted((Path(__file__).parents[2] / "specs").rglob("*.movement"))


def lines_of(html: str, anchor: str = "line") -> list[tuple[str, str]]:
    """The number and the text of each line, from the HTML."""
    found = []
    for line in ET.fromstring(html).findall(".//span[@id]"):
        link = line.find(".//a")
        assert link is not None
        number = "".join(link.itertext()).strip()
        assert line.get("id") == f"{anchor}-{number}"
        assert link.get("href") == f"#{anchor}-{number}"
        text = "".join(line.itertext())
        found.append((number, text[len("".join(link.itertext())) :].removesuffix("\n")))
    return found


@pytest.mark.parametrize("file", SPECS, ids=lambda file: file.stem)
def test_a_demo_read_back_is_its_text(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    found = lines_of(source_html(text))
    assert [line for _, line in found] == text.removesuffix("\n").split("\n")
    assert [number for number, _ in found] == [str(at) for at in range(1, len(found) + 1)]


@given(st.text(st.characters(exclude_categories=["Cc", "Cs"]) | st.sampled_from("\n<>&\"'#"), max_size=200))
def test_any_text_read_back_is_the_text(text: str) -> None:
    shown = re.sub("[\ufffe\uffff]", "\ufffd", text)
    found = "\n".join(line for _, line in lines_of(source_html(text)))
    assert found.rstrip("\n") == shown.rstrip("\n")


def test_what_the_keeper_wrote_is_never_markup() -> None:
    html = source_html("remark \"<script>alert(1)</script> & 'x'\" # <b>")
    assert "<script" not in html
    assert "<b>" not in html
    assert lines_of(html) == [("1", "remark \"<script>alert(1)</script> & 'x'\" # <b>")]


def test_controls_do_not_reach_the_page() -> None:
    html = source_html("remark \x00\x1b[31m\ud800 x\r\nbell\rbell")
    assert not re.search("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff]", html)
    assert len(lines_of(html)) == 3


def test_a_part_of_a_file_keeps_its_numbers_and_its_marks() -> None:
    html = source_html("train going\n  runs south\n", anchor="going", first=41, marked=(42,))
    assert lines_of(html, "going") == [("41", "train going"), ("42", "  runs south")]
    marked = ET.fromstring(html).findall(".//span[@class='hll']")
    assert ["".join(line.itertext()).strip() for line in marked] == ["42  runs south"]


def test_nothing_but_plain_letters_begins_an_id() -> None:
    with pytest.raises(ValueError, match="cannot begin an id"):
        source_html("bell", anchor='"><script>')
    with pytest.raises(ValueError, match="from 1"):
        source_html("bell", first=0)


def test_every_rule_is_under_the_class_and_every_class_has_its_rule() -> None:
    css = re.sub(r"/\*.*?\*/", "", source_css())
    selectors = re.findall(r"([^{}]+)\{", css.replace("@media print {", ""))
    assert selectors
    assert all(part.strip().startswith(f".{FRAME}") for each in selectors for part in each.split(","))
    used = set()
    for file in SPECS:
        used |= set(re.findall(r'class="(movement-\w+)"', source_html(file.read_text(encoding="utf-8"))))
    assert len(used) > 10
    assert {name for name in used if f".{name} " not in css and name != FRAME} == set()
