"""The settings for Helix are well-formed and say what the other packages say."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

EDITORS = Path(__file__).parents[2] / "grammar" / "editors"


def test_the_settings_agree_with_the_grammar_and_name_their_own_server() -> None:
    settings = tomllib.loads((EDITORS / "helix" / "languages.toml").read_text(encoding="utf-8"))
    (language,) = settings["language"]
    grammar = json.loads((EDITORS / "vscode/syntaxes/movement.tmLanguage.json").read_text(encoding="utf-8"))
    assert language["scope"] == grammar["scopeName"]
    assert language["file-types"] == grammar["fileTypes"]
    assert language["language-servers"] == list(settings["language-server"])
    assert settings["language-server"]["countwheel"] == {"command": "countwheel", "args": ["language-server"]}
