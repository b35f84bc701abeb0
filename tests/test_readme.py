"""What the README shows is what the program prints. `python tests/test_readme.py` writes it anew."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
EXAMPLE = ROOT / "tests" / "readme"
SHOWN = re.compile(r"<!-- output: (?P<call>[^>]*?) -->\n```\n(?P<text>.*?)```\n", re.DOTALL)
FILE = re.compile(r"<!-- example: (?P<name>\S+) -->\n```\n(?P<text>.*?)```\n", re.DOTALL)


def printed(call: str) -> str:
    """What a call prints, on both streams in turn, run where the example lies."""
    done = subprocess.run(
        [sys.executable, "-m", "countwheel.cli", *call.split()], cwd=EXAMPLE, capture_output=True, text=True
    )
    return done.stdout


def readme() -> str:
    return (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_example_is_the_file() -> None:
    found = {match["name"]: match["text"] for match in FILE.finditer(readme())}
    assert found
    for name, text in found.items():
        assert (EXAMPLE / name).read_text(encoding="utf-8") == text


@pytest.mark.parametrize("call", [match["call"] for match in SHOWN.finditer(readme())])
def test_the_output_shown_is_the_output(call: str) -> None:
    (shown,) = (match["text"] for match in SHOWN.finditer(readme()) if match["call"] == call)
    assert printed(call) == shown


def test_every_command_that_is_shown_exists() -> None:
    done = subprocess.run([sys.executable, "-m", "countwheel.cli", "--help"], capture_output=True, text=True)
    named = set(re.findall(r"`countwheel (\w[\w-]*)", readme())) - {"COMMAND"}
    assert len(named) > 5
    assert named <= set(re.findall(r"^    (\w[\w-]*)", done.stdout, re.MULTILINE))


if __name__ == "__main__":
    written = SHOWN.sub(
        lambda match: f"<!-- output: {match['call']} -->\n```\n{printed(match['call'])}```\n", readme()
    )
    (ROOT / "README.md").write_text(written, encoding="utf-8")
