"""The TextMate grammar by itself, without an editor's engine: that it holds together and knows every word."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from countwheel.highlight.words import heads
from countwheel.vocabulary import load

FILE = Path(__file__).parents[2] / "grammar/editors/vscode/syntaxes/movement.tmLanguage.json"
GRAMMAR: dict[str, Any] = json.loads(FILE.read_text(encoding="utf-8"))
# The root groups of scopes that colour themes know: TextMate's manual, "Naming Conventions"; `punctuation` is in the
# convention of the editors that came after it.
ROOTS = {
    "comment",
    "constant",
    "entity",
    "invalid",
    "keyword",
    "markup",
    "meta",
    "storage",
    "string",
    "support",
}
ROOTS |= {"variable", "punctuation"}


def rules(of: Any = GRAMMAR) -> Iterator[dict[str, Any]]:
    """Every object in the grammar."""
    if isinstance(of, dict):
        yield of
        for inside in of.values():
            yield from rules(inside)
    elif isinstance(of, list):
        for inside in of:
            yield from rules(inside)


def python(pattern: str) -> re.Pattern[str]:
    """A pattern of the grammar in Python's words, which differ in how a character is given by its number."""
    return re.compile(re.sub(r"\\x\{([0-9a-f]+)\}", lambda code: chr(int(code[1], 16)), pattern))


def test_every_rule_that_is_named_is_there_and_none_is_idle() -> None:
    named = {rule["include"].removeprefix("#") for rule in rules() if "include" in rule}
    assert named == set(GRAMMAR["repository"])


def test_every_scope_is_in_a_group_that_themes_know() -> None:
    scopes = {rule["name"] for rule in rules() if "name" in rule and rule is not GRAMMAR}
    assert len(scopes) > 15
    for scope in scopes:
        assert scope.split(".")[0] in ROOTS, scope
        assert scope.endswith(".movement"), scope


def test_every_pattern_can_be_read() -> None:
    patterns = [rule[key] for rule in rules() for key in ("match", "begin", "end") if key in rule]
    assert len(patterns) > 100
    for pattern in patterns:
        python(pattern)


def line_rules() -> list[tuple[re.Pattern[str], str]]:
    """In the order in which they are tried: how a line begins, and the scope of its first words."""
    found = []
    for include in GRAMMAR["patterns"]:
        rule = GRAMMAR["repository"][include["include"].removeprefix("#")]
        if "2" in rule.get("beginCaptures", {}):
            found.append((python(rule["begin"]), rule["beginCaptures"]["2"]["name"]))
    return found


@pytest.mark.parametrize("lead", ["", "    ", "  no ", "\t"])
def test_every_word_that_begins_a_line_is_known_whole(lead: str) -> None:
    """The first rule that fits takes all of its words, not only the first few."""
    tried = line_rules()
    for head in heads():
        begun = next(
            (match, scope) for rule, scope in tried if (match := rule.match(f"{lead}{head.spelling}  17"))
        )
        assert begun[0][2] == head.spelling
        assert begun[1] == ("storage.type.part" if head.part else "support.type.property-name") + ".movement"


def test_a_longer_word_that_begins_alike_is_another() -> None:
    for rule, _ in line_rules():
        assert not rule.match("trainer going")
        assert not rule.match("wheelbarrow 12")


@pytest.mark.parametrize(
    "entry", [e for e in load().entries if "<" in e.takes and e.fixed], ids=lambda e: e.word
)
def test_the_choices_of_a_word_are_in_its_rule(entry) -> None:  # type: ignore[no-untyped-def]
    if entry.owners == ("entry",):
        rule = GRAMMAR["repository"]["entry"]
    else:
        named = [include["include"].removeprefix("#") for include in GRAMMAR["patterns"]]
        rules_of_lines = [GRAMMAR["repository"][name] for name in named if name.startswith("line-")]
        rule = next(one for one in rules_of_lines if python(one["begin"]).match(entry.word))
    patterns = [
        python(one["match"])
        for one in rule["patterns"]
        if one.get("name") == "constant.language.choice.movement"
    ]
    for name in re.findall(r"<([\w ]+)>", entry.takes):
        for choice in load().choices[name].values():
            for spelling in (choice.word, *choice.also):
                assert any(pattern.fullmatch(spelling) for pattern in patterns), (entry.word, spelling)
