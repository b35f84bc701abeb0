"""Files far larger and deeper than any clock: no exception, and time that grows as the size does, not as its square."""

from __future__ import annotations

import time
from collections.abc import Callable

import pytest
from countwheel.api import check_text
from countwheel.diagnostics.render_text import render

HEAD = 'countwheel 1\nclock "x"\n  place "p"\n    latitude 50 °N\n'
SHAPES: dict[str, Callable[[int], str]] = {
    "arbors": lambda n: (
        "train going\n" + "".join(f"  arbor a{i}\n    pinion 10\n    wheel 40\n" for i in range(n))
    ),
    "driven by": lambda n: (
        "train going\n"
        + "".join(
            f"  arbor a{i}\n    pinion 10\n    wheel 40\n    driven by going.a{max(i - 1, 0)}\n"
            for i in range(n)
        )
    ),
    "trains": lambda n: "".join(
        f"train t{i}\n  arbor a\n    wheel 100\n  arbor b\n    pinion 10\n" for i in range(n)
    ),
    "the same again": lambda n: "train going\n" + "  arbor a\n    pinion 10\n    wheel 40\n" * n,
    "paths that lead nowhere": lambda n: "".join(f'photo "a{i}.jpg" of x.y{i}\n' for i in range(n)),
    "unknown words": lambda n: "".join(f"qwert{i} 12\n" for i in range(n)),
    "misplaced words": lambda n: "".join(f"wheel {i} 12\n" for i in range(n)),
    "open texts": lambda n: '  history """\n' * n,
    "open quotes": lambda n: '  history "x\n' * n,
    "odd depths": lambda n: "".join(" " * (i % 7 * 3 + i % 2) + 'remark "x"\n' for i in range(n)),
    "values of one fact": lambda n: "train going\n  arbor a\n    wheel\n" + "      80 told\n" * n,
    "wheels of one arbor": lambda n: (
        "train going\n  arbor a\n" + "".join(f"    wheel w{i} 40\n" for i in range(n))
    ),
    "log": lambda n: "log\n" + "  2026-05-02 09:00 found 3 s fast at 11 °C wound\n" * n,
    "expectations": lambda n: "".join(f"expect going.train.x{i} at least 3\n" for i in range(n)),
    "tabs": lambda n: "train going\n" + "\tarbor a\n" * n,
    "seasons": lambda n: "".join(f"season s{i}\n  from 1 May to 2 May\n" for i in range(n)),
    "denied": lambda n: "no dial\n" * n,
}


def seconds(text: str) -> float:
    start = time.perf_counter()
    result = check_text(HEAD + text, "x.movement", working=False)
    render(result.diagnostics, result.sources)
    return time.perf_counter() - start


@pytest.mark.parametrize("shape", SHAPES)
def test_time_grows_with_the_size(shape: str) -> None:
    """Four times the lines may take eight times as long (caches, garbage), not the sixteen of a square."""
    make = SHAPES[shape]
    seconds(make(20))
    small = min(seconds(make(100)) for _ in range(2))
    large = seconds(make(400))
    if large > 8 * max(small, 0.01):  # once more: the machine may have been busy
        large = min(large, seconds(make(400)), seconds(make(400)))
    assert large <= 8 * max(small, 0.01), (small, large)


LINES = {
    "words": "  made " + "word " * 200_000,
    "one long word": "  made " + "w" * 1_000_000,
    "text": '  history "' + "w" * 1_000_000 + '"',
    "an open quote": '  history "' + "w" * 1_000_000,
    "figures": "  made " + "1" * 1_000_000,
    "numbers": "  made " + "1 " * 200_000,
    "marks": "  made " + "? " * 100_000,
    "every": "care\n  oil " + "every " * 100_000,
    "commas": "dial " + "a, " * 50_000,
    "quotes": "  history " + '"' * 500_001,
    "hashes": "  history " + '"a" # ' * 100_000,
    "spaces": "  made" + " " * 1_000_000 + "x",
    "depth": " " * 1_000_000 + "made x",
    "dots": "  made " + "." * 500_000,
    "minus": "  made " + "-" * 500_000,
    "fractions": "  made " + "1/" * 300_000,
    "tolerances": "  made " + "± 1 in " * 50_000,
}


@pytest.mark.parametrize("line", LINES)
def test_a_line_of_a_megabyte(line: str) -> None:
    assert seconds(LINES[line] + "\n") < 20


@pytest.mark.parametrize("depth", [30, 300, 3000])
@pytest.mark.parametrize("word", ['remark "x"', "train a", "arbor a", "wheel 80", "zzz", "12", "barrel"])
def test_nesting_without_end(word: str, depth: int) -> None:
    text = "".join(" " * (at % 1000 + at // 1000) + word + "\n" for at in range(depth))
    check_text(HEAD + text)


EXTREME = (
    "1e99 -1e99 1e-99 999999999999999999 999999999999999999.999999999999999999e99 1/999999 999999/1 0 0.0 0/1"
)
EXTREME += " 1/0 NaN inf -inf 1e308 1e30 10000000000000000000000000000000"


@pytest.mark.parametrize("number", EXTREME.split())
def test_extreme_numbers_everywhere(number: str) -> None:
    """In the place of every number of a whole description, one after another and all at once."""
    import re
    from pathlib import Path

    text = (Path(__file__).parent.parent / "cases" / "example.movement").read_text(encoding="utf-8")
    places = [match.span() for match in re.finditer(r"(?<![\w.:/-])\d+(?:\.\d+)?(?![\w.:/-])", text)]
    check_text(re.sub(r"(?<![\w.:/-])\d+(?:\.\d+)?(?![\w.:/-])", number, text))
    for start, end in places[::11]:
        check_text(text[:start] + number + text[end:], working=False)
