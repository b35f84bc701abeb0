"""Descriptions to edit: a main file and one that it includes, with a mark for the place asked about."""

from __future__ import annotations

from countwheel import api
from countwheel.editor.analysis import Analysis
from countwheel.files import Trouble

MAIN = """countwheel 1

clock "Quarry Lane 🕰 clock"
  place "Orrin̈"
    latitude 50 °N

include "trains/strike.movement"

train going
  arbor great
    barrel
      diameter 10 in  measured on 2026-05-02 by "KT"
      weight ?
    wheel 144
  arbor centre
    pinion 12
    wheel 80
    rate once an hour
  arbor escape
    pinion 10
    escape wheel 30

bell "hour"
  mass 3 cwt

expect going.centre turns once an hour
"""
STRIKE = """# the strike
train strike
  let off by going.centre
  hammer
    on bell "hour"
"""
NAMES = {"main.movement": MAIN, "trains/strike.movement": STRIKE}


def analysed(**texts: str) -> Analysis:
    """The analysis of the description, with `main` or `strike` in place of its texts."""
    main = texts.get("main", MAIN)
    strike = texts.get("strike", STRIKE)

    def read(name: str) -> str:
        if name != "trains/strike.movement":
            raise Trouble("M001", "there is no such file")
        return strike

    return Analysis(api.read_text(main, "main.movement", read))


def with_line(line: str, behind: str) -> tuple[Analysis, int]:
    """The main file with a line put behind another, and the offset at its end."""
    at = MAIN.index(behind) + len(behind)
    text = f"{MAIN[:at]}\n{line}{MAIN[at:]}"
    return analysed(main=text), at + 1 + len(line)
