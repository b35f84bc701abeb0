"""Lets the tests here import their own helper (resolve_reading.py) by name."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
