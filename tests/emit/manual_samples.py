"""Invented clocks for the tests of the manual: descriptions with the parts that matter to some chapter."""

from __future__ import annotations

from functools import cache

from countwheel.api import Result, check_text
from hostile import ODD

# Count wheel, four dials, bolt and shutter, a lost wheel, a season.
HARBOUR = '''countwheel 1

clock "Harbour Office clock"
  place "Penquay"
    latitude  50.12 °N
    above sea 22 m
    time zone Europe/London
  made about 1887                       told by "the previous keeper"
  owner "Penquay Harbour Board"
  frame flatbed
  trains side by side
  wound every Friday
  history """
    Set going for the opening of the *new quay*. Moved up one floor in 1934.

    - weights recast in 1921
    - fly renewed
    """

train going
  arbor barrel
    barrel
      diameter  10 1/4 in ± 1/16 in     measured on 2026-05-02 by "KT"
      length    14 in
      turns of line 17                  counted
      line      steel wire rope
        construction 6x19M fibre core
        diameter     6 mm
        grade        1770 N/mm²
      pulley "head"
        diameter 9 in
      parts     2
      weight    2 cwt 3 qr 4 lb         stamped
      fall      34 ft ± 2 in            measured
    wheel great 144
    remark "The click is worn."
  winding
    jack 12 drives 96
    handle 11 in
    anticlockwise
    mark "white paint on the line"
  maintaining power bolt and shutter
    lasts 12 min                        estimated
  arbor centre
    pinion  12
    wheel   80                          counted
    rate    once an hour
  arbor third
    pinion  10
    wheel   ? 60..84                    lost
  arbor escape
    pinion  12
    escape wheel 30

escapement deadbeat
  spans   7 1/2 teeth
  drop    1.5 °
  lift    1 °

pendulum
  beat    1.25 s                        measured
  rod     pine
  suspension spring
    thickness 0.4 mm
    width     40 mm
    length    60 mm
  bob     cast iron
    shape    lens
    mass     210 lb
    diameter 14 in
    height   9 in
  half arc 2.0 °                        measured
  rating nut
    thread    16 per inch
    divisions 20

train strike
  arbor barrel
    barrel
      diameter  6 1/2 in
      turns of line 68
      line      steel wire rope
        construction 6x19M fibre core
        diameter     6 mm
        grade        1770 N/mm²
      parts     3
      weight    11 cwt
      fall      40 ft
    wheel great 200
    lifting pins 20
    pinion count 20
  arbor locking
    pinion  10
    wheel   72
  arbor fly
    pinion  9
    fly
      vanes 2
  count wheel
    count 20 drives 78
    cut for hours
  hammer
    mass   38 lb
    lift   7 in
    remark "The spare hammer is in the porch."
  silent 23:00 to 07:00 by lifting hammer

bell "hour"
  mass    14 cwt
  strikes G#

motion work
  cannon pinion 30
  minute wheel  90
  minute pinion 20
  hour wheel    80

leading off
  from going.centre
  bevel 48 drives 48 on far side
  shaft "rise"
    runs up
    length 14 ft
    universal joint
      angle 12 °
  central bevel 48 drives 48, 48, 48, 48

dial north, east, south, west
  diameter     7 ft
  above ground 62 ft
  minute hand
    length 38 in
    mass   9 lb
    centre of gravity 14 in
    counterpoise 7 lb 14 oz at 16 in
  hour hand
    length 27 in

season winter
  from 1 November to 31 March
  going.barrel.weight  3 cwt 0 qr 4 lb

care
  oil pivots      every 6 months
  clean movement  every 5 years  by clockmaker

contact "Harbour master's office"
  telephone "01 555 0100"
  holds key

procedure winding "Ring the office first, and *again* when you are down."
procedure visitors "Not more than three at a time."
'''

# Quarters that let off the hour, and no more than these need.
CHIMES = """countwheel 1

clock "Market clock"

train going
  no maintaining power
  arbor barrel
    barrel
    wheel great 96
  arbor escape
    pinion 8
    escape wheel 30

train strike
  strikes hours
  let off by chime.locking
  no hammer
  arbor barrel
    wheel great 96
  arbor locking
    pinion 8
  count wheel
    cut for hours

train chime
  strikes quarters
  let off by going.barrel
  arbor barrel
    wheel great 96
  arbor locking
    pinion 8
  count wheel
    cut for quarters
  no silent
  quarter 1   1 2 3 4
  quarter 4   3 1 4 2

dial
"""

# No striking, no bell; a gravity escapement, mercury, one hand, an endless rope.
TIMEPIECE = """countwheel 1

clock "Mill clock"
  place "Overbeck"
    latitude 53 °N
    country "United Kingdom"
  wound daily

train going
  arbor barrel
    barrel
      diameter 8 in
      line hemp rope
      weight 60 lb
      parts 1
      fall 20 ft
      turns of line ?
    wheel great 96
  arbor centre
    pinion 8
    wheel 90
    rate once an hour
  arbor escape
    pinion 9
    legs 4
  winding by endless rope
    jockey weight 4 lb

escapement gravity

pendulum
  beat 1.5 s
  rod steel
  bob mercury
    jars 2
  rating nut
    thread 20 per inch
    right raises
  tray
    weights "1 g, 2 g, 5 g"

dial
  one hand only
"""

# A rack, a motor, bells that are rung, and no dial.
TOWER = """countwheel 1

clock "Ringers' tower"
  place "Stowmere"

train going
  arbor barrel
    barrel
      diameter 200 mm
      weight 40 kg
      parts 1
      fall 6 m
      turns of line 9
      line chain
    wheel great 120
  arbor centre
    pinion 10
    wheel 96
    rate once an hour
  arbor escape
    pinion 8
    pins 30 on one side
  automatic winding
    motor "single phase"
    reserve 10 h
    isolator "red switch by the door"

escapement pin wheel

pendulum
  beat 1 s

train strike
  strikes hours and halves
  arbor barrel
    barrel
      diameter 200 mm
      weight 90 kg
      parts 1
      fall 6 m
      turns of line 9
      line manila rope
    wheel great 96
  arbor pin
    pinion 8
    wheel 80
    lifting pins 8
  arbor fly
    pinion 8
    fly
      vanes 2
  winding by bars
    bars 4 of 3 ft
    clockwise
  rack
  hammer
    mass 12 kg
    lift 100 mm
    pulled off "cord by the ladder"

bell "tenor"
  mass 900 kg
  hung for ringing
"""

# Every free text that the language has, filled with what could pass for markup somewhere.
HOSTILE = f'''countwheel 1

clock "<b>Clock</b> & #1"
  place "Pen{{quay}} $x$"
  owner "{ODD}"
  keeper "{ODD}"
  history """
    {ODD}

    <img src=x onerror=alert(1)> [press](javascript:alert(1)) ![eye](http://example.invalid/x.png)

    | a | b |
    |---|---|
    | <i>1</i> | #2 |
    """

train going
  arbor barrel
    wheel great 96
    remark "{ODD}"
  arbor escape
    pinion 8
    escape wheel 30

contact "{ODD}"
  telephone "{ODD}"
  address "{ODD}"

procedure winding "{ODD}"
procedure other "{ODD}"
'''


EMPTY = 'countwheel 1\n\nclock "Nothing yet"\n  made ?\n  maker ?\n  owner ?\n  stopped since ?\n'


@cache
def compiled(text: str) -> Result:
    return check_text(text, "sample.movement")
