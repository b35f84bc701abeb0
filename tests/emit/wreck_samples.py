"""Invented clocks that lack, have lost or deny something, for the tests of what is then said and drawn."""

from __future__ import annotations

# Half of it gone: lost parts, parts that there are none of, hints, a second arbor that nobody can place.
WRECK = """countwheel 1

clock "Sail loft clock"
  place "Tarn"
    country "United Kingdom"
  made ?
  maker ?
  stopped since 1961

train going
  arbor barrel
    barrel
      diameter 240 mm
      turns of line ? 14..18
      fall ? about 7 m
      weight ? 50..70 kg                 lost
      line manila rope
    wheel great 96
  winding by bars
    bars 4 of ? about 0.8 m
    no handle
    no stop work
  no maintaining power
  arbor centre
    pinion 8
    wheel 64
    wheel contrate crown 24
    rate once an hour
  arbor third
    pinion 8
    wheel ? 56..64 even                  lost
  arbor escape
    pinion 8
    escape wheel
      30                                 copied from "a note"
      32                                 told by "the chandler"   doubted "from memory"
  arbor upper
    lost

escapement recoil anchor

pendulum
  beat 1 s
  rod steel
  bob mercury                            lost
    jars 2
  rating nut                             lost
  crutch                                 perhaps
  no tray

dial
  driven by going.centre
  minute hand
    length 680 mm
    counterpoise 2 kg at 300 mm          estimated
  hour hand                              lost

loose wheel "crate" 60
  remains 41 of 60                       counted

procedure "in the loft" "Not alone."
"""

# Turned, struck and driven in ways of its own: a rope without end, a remontoire, a rack, a motor, one hand.
GATE = """countwheel 1

clock "Gate clock"
  place "Vau"
    country "France"

train going
  arbor barrel
    barrel
      diameter 200 mm
      no turns of line
      parts 2
      fall 9 m
      weight 40 kg
      line hemp rope
    wheel great 72
    pinion lantern hand 12
    rate once in 4 h
  winding by endless rope
    no handle
  remontoire every 30 s
    after  going.third
    drives going.escape
  arbor centre
    pinion 18
    wheel 80
  arbor third
    pinion 10
    wheel 75
  arbor escape
    pinion 12
    pins 60 on both sides
  arbor hour
    driven by going.barrel.hand
    wheel 36
    snail 12

escapement pin wheel

pendulum
  beat 1.2 s
  rating nut
    thread 1 mm
    right raises

train strike
  strikes hours
  let off by going.centre
  arbor barrel
    barrel
      diameter 200 mm
      no turns of line
      parts 1
      fall 4 m
      weight 80 kg
      line chain
    wheel great 96
  automatic winding
    reserve 46 h
  arbor pins
    pinion 12
    wheel 72
    lifting pins 9
  arbor locking
    pinion 8
    wheel 56
  arbor fly
    pinion 8
    fly
      vanes 2
  rack
    teeth 14
    snail going.hour
  hammer
    mass 6 kg
    lift 60 mm

leading off
  from going.centre
  bevel 30 drives 30 on near side
  shaft "court"
    runs up
  to court

dial gate
  driven by going.hour on far side
  one hand only
  diameter 1.8 m

dial court
  diameter 1.3 m

procedure electricity "Lock the red switch."
procedure "hold the clock a few seconds" "Lift one arm."
procedure "strike in step" "Lift the lever."
"""

# Two layers of line, a gravity escapement in two planes, quarters on a barrel of their own.
LAYERS = """countwheel 1

clock "Corn hall clock"

train going
  arbor barrel
    barrel
      diameter 150 mm
      turns of line 64
      layers 2
      parts 3
      fall 11 m
      weight 100 kg
      line wire rope
    wheel great 126
  winding by handle
    handle 10 in
  arbor escape
    pinion 14
    legs 3 double

escapement gravity

pendulum
  beat 2 s

train chime
  strikes quarters
  arbor barrel
    barrel
      diameter 160 mm
      turns of line 68
      parts 3
      fall 12 m
      weight 500 kg
      line wire rope
    wheel great 120
    wheel chime 90
    wheel count 72
  arbor locking
    pinion 8
    wheel 96
  arbor fly
    pinion 8
    fly
      vanes 2
  count wheel
    count 72 drives 24
  chime barrel
    driven by chime.barrel
    gear 90 drives 30
    changes a turn 10
  hammer treble
    on bell "quarter 1"
    mass 6 lb
    lift 4 in
  hammer tenor
    on bell "quarter 2"
    mass 12 lb
    lift 4 in
  quarter 1   3 1 4 2
  quarter 2   2 4 1 3   3 4 2 .

bell "quarter 1"
bell "quarter 2"
"""
