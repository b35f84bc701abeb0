"""Diagnostics as SARIF.

Checked against OASIS, Static Analysis Results Interchange Format (SARIF) Version 2.1.0: by the models
that the `pydantic-sarif` package has made from the standard's own JSON schema, and where that schema
says nothing, by the section named beside the check (3.30.6 was looked up; the other numbers are from memory).
"""

from __future__ import annotations

import json
from copy import deepcopy
from typing import Any
from urllib.parse import unquote, urlsplit

import pytest
from countwheel.diagnostics.record import Diagnostic
from countwheel.diagnostics.registry import CODES, say
from countwheel.diagnostics.render_sarif import FINGERPRINT, dump, to_sarif
from countwheel.source import Source
from fault_examples import MAIN, SOURCES, some
from pydantic import ValidationError
from pydantic_sarif.model import StaticAnalysisResultsFormatSarifVersion210JsonSchema as Log


def run(diagnostics: list[Diagnostic] | None = None, sources: dict[str, Source] = SOURCES) -> dict[str, Any]:
    only: dict[str, Any] = to_sarif(some() if diagnostics is None else diagnostics, sources)["runs"][0]
    return only


def result(code: str) -> dict[str, Any]:
    found: dict[str, Any] = next(r for r in run()["results"] if r["ruleId"] == code)
    return found


def uris(value: Any) -> list[str]:
    if isinstance(value, list):
        return [found for item in value for found in uris(item)]
    if not isinstance(value, dict):
        return []
    own = [value["uri"]] if "uri" in value else []
    return own + [found for item in value.values() for found in uris(item)]


def test_the_log_fits_the_standards_schema() -> None:
    Log.model_validate(json.loads(dump(some(), SOURCES, version="0.1.0")))
    Log.model_validate(json.loads(dump([], {})))
    Log.model_validate(json.loads(dump(some(), {})))


@pytest.mark.parametrize(("spoil", "value"), [("level", "doubt"), ("ruleIndex", -2), ("stray", 1)])
def test_the_schema_would_notice_what_is_wrong(spoil: str, value: object) -> None:
    log = deepcopy(to_sarif(some(), SOURCES))
    log["runs"][0]["results"][0][spoil] = value
    with pytest.raises(ValidationError):
        Log.model_validate(log)


def test_head() -> None:
    log = to_sarif(some(), SOURCES, version="0.1.0")
    assert log["version"] == "2.1.0"
    assert log["$schema"].endswith("/sarif-schema-2.1.0.json")
    driver = log["runs"][0]["tool"]["driver"]
    assert (driver["name"], driver["version"]) == ("countwheel", "0.1.0")
    assert log["runs"][0]["columnKind"] == "unicodeCodePoints"  # 3.14.17


def test_every_code_is_a_rule_with_its_page() -> None:
    rules = run()["tool"]["driver"]["rules"]
    assert [rule["id"] for rule in rules] == list(CODES)
    for rule in rules:
        assert rule["help"]["markdown"].startswith(f"# {rule['id']} ")
        assert len(rule["fullDescription"]["text"]) > 40
        assert "\n" not in rule["fullDescription"]["text"]


def test_levels() -> None:
    # 3.27.10: none, note, warning, error
    levels = {r["ruleId"]: r["level"] for r in run()["results"]}
    assert levels == {"M001": "error", "M006": "warning", "M201": "error", "M204": "error", "M602": "note"}
    rules = {r["id"]: r["defaultConfiguration"]["level"] for r in run()["tool"]["driver"]["rules"]}
    assert all(rules[code] == level for code, level in levels.items())


def test_rule_index_leads_to_the_rule() -> None:
    # 3.27.6: the index is into tool.driver.rules
    whole = run()
    for found in whole["results"]:
        assert whole["tool"]["driver"]["rules"][found["ruleIndex"]]["id"] == found["ruleId"]


def test_regions_count_from_one_in_code_points_and_end_after_the_last_character() -> None:
    # 3.30.5 to 3.30.8
    region = result("M201")["locations"][0]["physicalLocation"]["region"]
    assert region == {"startLine": 4, "startColumn": 3, "endLine": 4, "endColumn": 7}
    name = result("M201")["relatedLocations"][0]["physicalLocation"]["region"]
    assert name == {"startLine": 3, "startColumn": 7, "endLine": 3, "endColumn": 19}
    whole = result("M602")["locations"][0]["physicalLocation"]["region"]
    assert whole == {"startLine": 1, "startColumn": 1, "endLine": 3, "endColumn": 13}
    assert result("M006")["locations"][0]["physicalLocation"]["region"] == {
        "startLine": 1,
        "startColumn": 1,
        "endLine": 1,
        "endColumn": 1,
    }
    assert "region" not in result("M001")["locations"][0]["physicalLocation"]


def test_uris_are_relative_and_percent_encoded() -> None:
    found = set(uris(run()["results"]) + uris(run()["artifacts"]))
    assert {unquote(uri) for uri in found} == {*SOURCES, "gone.movement"}
    for uri in found:
        assert uri.isascii()
        parts = urlsplit(uri)  # RFC 3986, 4.2: no scheme, no authority
        assert not parts.scheme
        assert not parts.netloc
        assert not set(uri) & set(' "<>\\^`{|}:')  # RFC 3986, 2 and 4.2
    assert "tower%20clock/%C3%A9%3A1.movement" in found


def test_related_places_have_their_own_numbers_and_notes() -> None:
    related = result("M201")["relatedLocations"]
    assert [place["id"] for place in related] == [1, 2]
    assert [place["message"]["text"] for place in related] == ["this clock", "as here"]


def test_fixes() -> None:
    fixes = result("M201")["fixes"]
    assert [fix["description"]["text"] for fix in fixes] == ["write `wheel`", "write `rate`"]
    replacement = fixes[0]["artifactChanges"][0]["replacements"][0]
    assert replacement["insertedContent"] == {"text": "wheel"}
    region = replacement["deletedRegion"]
    line = MAIN.text.split("\n")[region["startLine"] - 1]
    assert line[region["startColumn"] - 1 : region["endColumn"] - 1] == "weel"


def test_what_the_standard_calls_a_set_has_no_equals() -> None:
    fault = some()[0]
    twice = say("M201", fault.span, "m", edits=[*fault.edits, *fault.edits])
    assert len(run([twice])["results"][0]["fixes"]) == 2


def test_fingerprints_stay_when_lines_are_put_in_above() -> None:
    def prints(before: str) -> list[str]:
        text = before + "  weel 80\n  weel 80\n"
        source = Source("a.movement", text)
        starts = [len(before) + 2, len(before) + 12]
        faults = [say("M201", source.span(start, start + 4), "m") for start in starts]
        return [r["partialFingerprints"][FINGERPRINT] for r in run(faults, {"a.movement": source})["results"]]

    assert prints("") == prints("clock\n\n\n")
    assert len(set(prints(""))) == 2


def test_the_same_bytes_whatever_the_order_they_came_in() -> None:
    assert dump(some(), SOURCES) == dump(list(reversed(some())), dict(reversed(SOURCES.items())))
