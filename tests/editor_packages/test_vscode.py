"""The extension for VS Code: what can be said of its files, and, where node and npm are, the built thing itself."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import zipfile
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from countwheel.api import check_text
from countwheel.highlight.pieces import pieces
from countwheel.highlight.textmate import scope

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "grammar" / "editors" / "vscode"
SPECS = sorted((ROOT / "specs").rglob("*.movement"))
NO_NETWORK = re.compile(
    r"ENOTFOUND|ECONNREFUSED|ECONNRESET|ETIMEDOUT|EAI_AGAIN|ENETUNREACH|EHOSTUNREACH|ENOTCACHED"
)


def read(name: str) -> Any:
    text = (SOURCE / name).read_text(encoding="utf-8")
    return json.loads(re.sub(r"\A//.*\n", "", text))


# --- what can always be said


def test_every_file_that_the_package_names_is_there() -> None:
    contributed = read("package.json")["contributes"]
    named = [entry["path"] for entry in (*contributed["grammars"], *contributed["snippets"])]
    named += [entry["configuration"] for entry in contributed["languages"]]
    for name in named:
        assert (SOURCE / name).is_file(), name
    assert contributed["grammars"][0]["scopeName"] == read("syntaxes/movement.tmLanguage.json")["scopeName"]
    assert (SOURCE / "LICENSE").read_text() == (ROOT / "LICENSE").read_text()


def test_the_version_is_the_same_everywhere() -> None:
    package, lock = read("package.json"), read("package-lock.json")
    assert package["version"] == lock["version"] == lock["packages"][""]["version"]
    assert f"## {package['version']}" in (SOURCE / "CHANGELOG.md").read_text(encoding="utf-8")
    assert package["devDependencies"] == lock["packages"][""]["devDependencies"]


def test_the_lock_names_no_machine() -> None:
    """Each package is known by its checksum, from wherever it comes."""
    packages = read("package-lock.json")["packages"]
    for name, entry in packages.items():
        if name:
            assert entry["integrity"].startswith("sha512-"), name
        where = entry.get("resolved", "https://registry.npmjs.org/")
        assert where.startswith("https://registry.npmjs.org/"), name
        assert not entry.get("link"), name
    assert not re.search(r"file:|localhost|127\.0\.0\.1|/home/|/root/", json.dumps(packages))


def indents(line: str) -> bool:
    pattern = read("language-configuration.json")["onEnterRules"][0]["beforeText"]
    return re.fullmatch(pattern, line) is not None


def test_a_line_that_opens_a_block_indents_the_next() -> None:
    for line in ("train going", '  pulley "head"', "  wound", "    minute hand", "dial north, east  # both"):
        assert indents(line) == (line != "  wound"), line
    for line in ("  fall 34 ft", "  pinion 12", 'remark "one"', "    weight 2 cwt 3 qr", "# train going"):
        assert not indents(line), line


WORD = re.compile(read("language-configuration.json")["wordPattern"])


def test_a_word_is_what_the_language_takes_for_one() -> None:
    assert WORD.findall('going.centre 10 1/4 in ± 2 "KT" north-west, 6x19M') == [
        *("going.centre", "10", "1/4", "in", "2", "KT", "north-west", "6x19M")
    ]


def expanded(body: list[str]) -> list[str]:
    """The text of a snippet with what stands in its places at first; of several choices, a text for each."""
    text = "\n".join(body)
    for name, value in (("YEAR", "2026"), ("MONTH", "05"), ("DATE", "02")):
        text = text.replace(f"$CURRENT_{name}", value)
    text = re.sub(r"\$\{\d+:([^{}]*)\}", r"\1", text).replace("$0", "")
    most = max((each.count(",") + 1 for each in re.findall(r"\|([^|]*)\|", text)), default=1)

    def choose(at: int) -> str:
        return re.sub(r"\$\{\d+\|([^|]*)\|\}", lambda m: (m[1].split(",") * most)[at], text)

    return [choose(at) for at in range(most)]


SNIPPETS: dict[str, Any] = read("snippets/movement.json")
WHOLE = 'countwheel 1\n\nclock "x"\n  place "y"\n\n'
AROUND = {  # where a snippet is no line of the description itself: what stands before it
    "An arbor": "train going\n  ",
    "How it is known": "pendulum\n  length 61 in ",
    "Copied from a paper": "pendulum\n  length 61 in ",
    "A line of the log": "log\n  ",
    "A text": "clock\n  ",
}


@pytest.mark.parametrize("name", SNIPPETS)
def test_a_snippet_can_be_read_as_it_comes(name: str) -> None:
    """Its words are the language's: the compiler has no fault of reading, of words or of units to report."""
    for text in expanded(SNIPPETS[name]["body"]):
        assert "$" not in text
        before = AROUND.get(name, "")
        margin = re.search(r"[ ]*$", before)
        assert margin is not None
        text = before + text.replace("\n", "\n" + margin[0])
        if name == "A text":
            text = "countwheel 1\n\n" + text
        elif not text.startswith("countwheel"):
            text = WHOLE + text
        found = check_text(text, "snippet.movement").diagnostics
        assert not [
            one for one in found if one.code[:2] in ("M0", "M1", "M2", "M3") and one.severity == "error"
        ], text


# --- the built thing


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder as a fresh checkout has it, built by the one command of its README."""
    if shutil.which("npm") is None or shutil.which("node") is None:
        pytest.skip("node and npm are not installed")
    folder = tmp_path_factory.mktemp("vscode") / "vscode"
    left = shutil.ignore_patterns("node_modules", "dist", "*.vsix")
    shutil.copytree(SOURCE, folder, ignore=left)
    environment = os.environ | {"npm_config_prefer_offline": "true", "npm_config_fetch_retries": "1"}
    done = subprocess.run(
        ["npm", "run", "build"],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        timeout=540,
        check=False,
    )
    if done.returncode and NO_NETWORK.search(done.stdout + done.stderr):
        pytest.skip("the packages of npm cannot be fetched")
    assert done.returncode == 0, done.stdout + done.stderr
    return folder


def tokens(built: Path, *arguments: str) -> tuple[int, dict[str, list[tuple[int, int, int, list[str]]]]]:
    command = ["node", "test/tokens.mjs", *arguments, *map(str, SPECS)]
    done = subprocess.run(command, cwd=built, capture_output=True, text=True, timeout=300, check=False)
    assert done.stdout, done.stderr
    return done.returncode, json.loads(done.stdout)


def test_the_package_holds_what_it_should_and_nothing_else(built: Path) -> None:
    with zipfile.ZipFile(built / "countwheel.vsix") as package:
        assert package.testzip() is None
        files = {name: package.read(name) for name in package.namelist()}
    assert set(files) == {
        "[Content_Types].xml",
        "extension.vsixmanifest",
        "extension/package.json",
        "extension/readme.md",
        "extension/changelog.md",
        "extension/LICENSE.txt",
        "extension/language-configuration.json",
        "extension/snippets/movement.json",
        "extension/syntaxes/movement.tmLanguage.json",
        "extension/dist/extension.js",
        "extension/dist/licences.txt",
    }
    grammar = SOURCE / "syntaxes" / "movement.tmLanguage.json"
    assert files["extension/syntaxes/movement.tmLanguage.json"] == grammar.read_bytes()
    manifest = files["extension.vsixmanifest"].decode()
    assert 'Id="countwheel"' in manifest
    assert 'Publisher="countwheel"' in manifest
    assert str(built).encode() not in files["extension/dist/extension.js"]
    assert b"vscode-languageclient" in files["extension/dist/licences.txt"]


def test_no_word_of_any_demo_is_without_a_scope(built: Path) -> None:
    code, unscoped = tokens(built, "--unscoped")
    assert set(unscoped) == set(map(str, SPECS))
    assert not any(unscoped.values()), unscoped
    assert code == 0


def test_a_word_without_a_scope_would_be_found(built: Path, tmp_path: Path) -> None:
    """The same over a grammar from which a rule was taken."""
    broken = tmp_path / "vscode"
    (broken / "syntaxes").mkdir(parents=True)
    (broken / "node_modules").symlink_to(built / "node_modules")
    shutil.copytree(built / "test", broken / "test")
    grammar = read("syntaxes/movement.tmLanguage.json")
    grammar["repository"]["value"]["patterns"].pop()  # numbers
    grammar["repository"]["junk"]["match"] = "(?!)"
    (broken / "syntaxes" / "movement.tmLanguage.json").write_text(json.dumps(grammar), encoding="utf-8")
    code, unscoped = tokens(broken, "--unscoped")
    assert code == 1
    assert all(unscoped.values())


def test_the_engine_takes_every_word_for_what_the_compiler_does(built: Path) -> None:
    _, read_by_engine = tokens(built)
    wrong: Counter[tuple[str, str, str]] = Counter()
    looked_at = 0
    for file in SPECS:
        text = file.read_text(encoding="utf-8")
        kinds = {at: piece.kind for piece in pieces(text) for at in range(piece.start, piece.end)}
        rows = text.split("\n")
        starts = [0]
        for row in rows:
            starts.append(starts[-1] + len(row) + 1)
        for line, start, end, scopes in read_by_engine[str(file)]:
            # The engine counts in UTF-16; no demo has a letter that takes two of its units.
            for at in range(start, end):
                if rows[line][at].isspace():
                    continue
                looked_at += 1
                kind = kinds[starts[line] + at]
                comma = kind == "sign" and "punctuation.separator.movement" in scopes
                if scope(kind) not in scopes and not comma:
                    wrong[kind, rows[line][start:end], scopes[-1]] += 1
    assert looked_at > 50_000
    assert not wrong, wrong.most_common(20)


def test_its_own_tests_hold(built: Path) -> None:
    done = subprocess.run(
        ["npm", "test"], cwd=built, capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 0, done.stdout
    assert "# fail 0" in done.stdout
    assert "# pass 5" in done.stdout
