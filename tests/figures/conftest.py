"""Lets the tests here import their own helpers (build.py, reading.py) by name."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
