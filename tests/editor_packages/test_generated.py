"""What the editors know of the vocabulary is made from it.

`python tests/editor_packages/test_generated.py` writes it anew.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from countwheel.highlight.editors import made

EDITORS = Path(__file__).parents[2] / "grammar" / "editors"


@pytest.mark.parametrize("name", made())
def test_the_file_is_what_the_vocabulary_says(name: str) -> None:
    assert (EDITORS / name).read_text(encoding="utf-8") == made()[name]


if __name__ == "__main__":
    for name, text in made().items():
        path = EDITORS / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
