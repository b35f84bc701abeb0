"""Lets the tests here import their own helpers (figure_clocks, figure_reading, figure_trains) by name."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
