"""Whatever facts of a clock are lost, or nonsense: search, gaps and sheets come to an end, without a fault of ours."""

from __future__ import annotations

import math
import random
import re
from pathlib import Path

import pytest
from countwheel import api, outputs
from countwheel.emit import find_text, gaps_text
from countwheel.emit.naming import Names
from countwheel.emit.templating import wording
from countwheel.search.problem import holds

ROOT = Path(__file__).parents[2]
FILES = sorted(path for path in (ROOT / "specs").glob("*/*.movement") if path.stem == path.parent.name)
FILES += sorted((ROOT / "tests" / "outside" / "clocks").glob("*.movement"))
NUMBER = re.compile(r'(?<![\w."])\d+(?:\.\d+)?(?: \d+/\d+)?(?![\w.])')
INSTEAD = (
    "?", "?", "?", "? 1..9", "? odd", "? about 50", "? 3 or 4 or 5", "? 60..84 even", "0", "1", "7", "10000", "-3",
    "? 9..8", "? about 0", "? 0..0",
)  # fmt: skip


def spoilt(text: str, dice: random.Random) -> str:
    """The description with some of its numbers lost or nonsense, here and there with the part gone."""
    lines = text.split("\n")
    for _ in range(dice.choice((1, 2, 3, 5, 10, 30))):
        at = dice.randrange(len(lines))
        numbers = list(NUMBER.finditer(lines[at].split("#")[0]))
        if numbers:
            found = dice.choice(numbers)
            lines[at] = lines[at][: found.start()] + dice.choice(INSTEAD) + lines[at][found.end() :]
            lines[at] += " lost" if dice.random() < 0.2 else ""
    return "\n".join(lines)


@pytest.mark.parametrize("seed", range(2))
@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_whatever_is_lost(path: Path, seed: int) -> None:
    text = spoilt(path.read_text(encoding="utf-8"), random.Random(f"{path.stem} {seed}"))
    result = api.check_text(text, path.name, lambda name: (path.parent / name).read_text(encoding="utf-8"))
    assert result.clock is not None
    found = api.find(result.clock)
    assert find_text.report(found)
    for group in found.groups:
        for candidate in group.candidates[:50]:
            assert all(holds(rule.rule, candidate.counts) for rule in group.rules)
    gaps = api.gaps(result)
    assert gaps is not None
    assert all(math.isfinite(gap.settles) and gap.settles >= 0 for gap in gaps.gaps)
    assert gaps_text.report(gaps, Names(result.clock), wording("TITLES"))
    api.next_to_record(result)
    outputs.replacement(result)
    outputs.register(result)
