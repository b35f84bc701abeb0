"""Diagnostics as JSON: the schema holds, and every place is where it says."""

from __future__ import annotations

import json
from copy import deepcopy
from typing import Any

import pytest
from countwheel.diagnostics.render_json import SCHEMA, dump, to_json
from countwheel.source import Source
from fault_examples import MAIN, SOURCES, TRAIN, some
from jsonschema import Draft202012Validator, ValidationError


def test_the_schema_is_itself_valid_and_holds() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    validator = Draft202012Validator(SCHEMA)
    validator.validate(to_json(some(), SOURCES))
    validator.validate(to_json([], {}))
    validator.validate(json.loads(dump(some(), {})))


@pytest.mark.parametrize("key", ["code", "severity", "message", "file", "start", "edits", "hints"])
def test_the_schema_would_notice_what_is_missing(key: str) -> None:
    spoilt = deepcopy(to_json(some(), SOURCES))
    del spoilt["diagnostics"][0][key]
    with pytest.raises(ValidationError):
        Draft202012Validator(SCHEMA).validate(spoilt)


def test_every_offset_and_every_line_and_column_lead_to_the_same_place() -> None:
    def walk(value: Any) -> list[dict[str, Any]]:
        if isinstance(value, list):
            return [found for item in value for found in walk(item)]
        if not isinstance(value, dict):
            return []
        return ([value] if "start" in value else []) + [f for item in value.values() for f in walk(item)]

    places = [place for place in walk(to_json(some(), SOURCES)) if place["start"] is not None]
    assert len(places) == 9
    for place in places:
        text = SOURCES[place["file"]].text
        for point in (place["start"], place["end"]):
            before = text[: point["offset"]]
            assert point["line"] == before.count("\n") + 1
            assert point["column"] == len(before) - (before.rfind("\n") + 1) + 1
        assert place["start"]["offset"] <= place["end"]["offset"]


def test_columns_are_code_points() -> None:
    fault = next(d for d in to_json(some(), SOURCES)["diagnostics"] if d["code"] == "M201")
    name = fault["others"][0]
    assert (name["start"]["line"], name["start"]["column"]) == (3, 7)
    assert name["end"]["column"] - name["start"]["column"] == len('"鐘楼 𝄞 clock"') == 12
    assert MAIN.text[name["start"]["offset"] : name["end"]["offset"]] == '"鐘楼 𝄞 clock"'


def test_an_edit_put_in_place_mends_the_text() -> None:
    fault = next(d for d in to_json(some(), SOURCES)["diagnostics"] if d["code"] == "M201")
    edit = fault["edits"][0]
    mended = MAIN.text[: edit["start"]["offset"]] + edit["text"] + MAIN.text[edit["end"]["offset"] :]
    assert mended == MAIN.text.replace("weel", "wheel")


def test_what_is_in_a_diagnostic() -> None:
    made = to_json(some(), SOURCES)
    assert made["schema"] == {"name": "countwheel diagnostics", "version": 1}
    assert made["counts"] == {"error": 3, "doubt": 1, "advice": 1}
    fault = next(d for d in made["diagnostics"] if d["code"] == "M201")
    assert fault["title"] == "A word that is not known here"
    assert fault["hints"] == ["Write `wheel`, or move the line.", "`countwheel words clock` lists the words."]
    assert [other["file"] for other in fault["others"]] == [MAIN.file, TRAIN.file]


def test_a_file_that_could_not_be_read_has_no_places() -> None:
    fault = to_json(some(), SOURCES)["diagnostics"][0]
    assert (fault["file"], fault["start"], fault["end"]) == ("gone.movement", None, None)


def test_an_offset_past_the_end_is_the_end() -> None:
    source = Source(MAIN.file, "ab")
    fault = next(d for d in to_json(some(), {MAIN.file: source})["diagnostics"] if d["code"] == "M201")
    assert fault["end"] == {"line": 1, "column": 3, "offset": 2}


def test_the_same_bytes_whatever_the_order_they_came_in() -> None:
    assert dump(some(), SOURCES) == dump(reversed(some()), dict(reversed(SOURCES.items())))
    assert dump(some(), SOURCES).endswith("}\n")
