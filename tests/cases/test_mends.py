"""Each mend that a machine can make, made: the fault that offered it is gone, and no new one has come."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from countwheel.api import Result, check_text
from countwheel.diagnostics.record import Diagnostic, Edit

CASES = sorted(Path(__file__).parent.rglob("*.movement"))


def made(text: str, edit: Edit) -> str:
    return text[: edit.span.start] + edit.text + text[edit.span.end :]


def errors(result: Result) -> Counter[str]:
    return Counter(one.code for one in result.diagnostics if one.severity == "error")


def offered(text: str) -> list[tuple[Diagnostic, Edit]]:
    return [(one, edit) for one in check_text(text, "x").diagnostics for edit in one.edits]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.stem)
def test_a_mend_mends(case: Path) -> None:
    text = case.read_text(encoding="utf-8")
    before = errors(check_text(text, "x"))
    for fault, edit in offered(text):
        after = errors(check_text(made(text, edit), "x"))
        if fault.severity == "error":
            assert after[fault.code] < before[fault.code], (fault, edit)
        # A value that can be read at last may be found wrong: one fault for another. Or to disagree with others.
        worse = Counter(
            {code: number for code, number in (after - before).items() if code[:2] not in ("M5", "M6")}
        )
        assert sum(worse.values()) <= before[fault.code] - after[fault.code], (fault, edit, worse)


@pytest.mark.parametrize(
    ("spoilt", "code", "mended"),
    [
        ("wheel 8O", "M112", "wheel 80"),
        ("whel 80", "M201", "wheel 80"),
        ("pivot 8 inchs", "M303", "pivot 8 inch"),
        ("pivot 8,5 mm", "M105", "pivot 8.5 mm"),
        ('pivot 1/4"', "M303", "pivot 1/4 in"),
        ("pivot about 8 mm", "M205", "pivot ? about 8 mm"),
        ("pivot 8..9 mm", "M205", "pivot ? 8..9 mm"),
        ("pivot ? 9..8 mm", "M306", "pivot ? 8..9 mm"),
        ("pivot 8 mm mesured", "M207", "pivot 8 mm measured"),
        ("turns clokwise", "M206", "turns clockwise"),
        ("replaced 1952/3/4", "M106", "replaced 1952-03-04"),
        ("remark no quotes", "M205", 'remark "no quotes"'),
        ('remark "open', "M103", 'remark "open"'),
        ("wheel 80\u200b", "M005", "wheel 80"),
    ],
)
def test_what_is_offered(spoilt: str, code: str, mended: str) -> None:
    text = f"countwheel 1\ntrain going\n  arbor a\n    {spoilt}\n"
    (edit,) = [edit for fault, edit in offered(text) if fault.code == code]
    assert made(text, edit).split("\n")[3].strip() == mended
    assert edit.title
    assert code not in {one.code for one in check_text(made(text, edit), "x").diagnostics}


def test_the_indentation_is_mended_to_where_the_line_belongs() -> None:
    head = "countwheel 1\ntrain going\n  arbor a\n    pinion 8\n    wheel 80\n"
    text = head + "      pivot 8 mm\n   arbor b\n\t\tpinion 8\n"
    while True:
        mends = [edit for fault, edit in offered(text) if fault.code in ("M101", "M102", "M202")]
        if not mends:
            break
        text = made(text, mends[0])
    assert (
        text
        == "countwheel 1\ntrain going\n  arbor a\n    pinion 8\n    wheel 80\n    pivot 8 mm\n  arbor b\n    pinion 8\n"
    )
