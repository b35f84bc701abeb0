;;; movement-words.el --- The words of countwheel descriptions  -*- lexical-binding: t; -*-

;; Made from grammar/vocabulary.table and grammar/units.table; do not edit.

;;; Code:

(defconst movement-words-events
  '("against"
    "arc"
    "at"
    "by"
    "cleaned"
    "done"
    "found"
    "left"
    "note"
    "nut"
    "oiled"
    "set"
    "started"
    "stopped"
    "tray"
    "wound")
  "What happened, in a line of the log.")

(defconst movement-words-metals
  '("brass"
    "glass"
    "invar"
    "iron"
    "lead"
    "steel"
    "wood"
    "zinc")
  "What the members of a compensated rod are of.")

(defconst movement-words-evidence
  '("assumed"
    "copied"
    "counted"
    "doubted"
    "estimated"
    "lost"
    "measured"
    "perhaps"
    "stamped"
    "told")
  "How a fact is known.")

(defconst movement-words-known
  '("assumed"
    "copied"
    "counted"
    "estimated"
    "measured"
    "stamped"
    "told")
  "Those of them behind which more can be said.")

(defconst movement-words-details
  '("by"
    "from"
    "on")
  "When, by whom and from what it is known.")

(defconst movement-words-hints
  '("about"
    "even"
    "odd"
    "or"
    "some")
  "What is known of an unknown value.")

(defconst movement-words-units
  '("threads to the inch"
    "threads per inch"
    "Rhenish inches"
    "seconds a week"
    "Vienna inches"
    "minutes a day"
    "seconds a day"
    "Paris inches"
    "Paris pounds"
    "Rhenish feet"
    "Rhenish foot"
    "Rhenish inch"
    "Paris lines"
    "Paris pound"
    "Vienna feet"
    "Vienna foot"
    "Vienna inch"
    "centimetres"
    "in 12 hours"
    "millimetres"
    "to the inch"
    "Paris feet"
    "Paris foot"
    "Paris inch"
    "Paris line"
    "centimetre"
    "millimetre"
    "per minute"
    "per second"
    "s per week"
    "each hour"
    "kilograms"
    "s per day"
    "zollpfund"
    "a minute"
    "a second"
    "each day"
    "kilogram"
    "per 12 h"
    "per cent"
    "per hour"
    "per inch"
    "quarters"
    "s a week"
    "tons/in²"
    "US tons"
    "Zentner"
    "an hour"
    "degrees"
    "in 12 h"
    "min/day"
    "minutes"
    "per day"
    "percent"
    "quarter"
    "s a day"
    "seconds"
    "ton/in²"
    "US cwt"
    "US ton"
    "arcmin"
    "arcsec"
    "degree"
    "ft lbf"
    "grains"
    "in lbf"
    "inches"
    "lb/in3"
    "lb/in³"
    "lbf ft"
    "lbf in"
    "lbf·ft"
    "lbf·in"
    "lignes"
    "livres"
    "metres"
    "minute"
    "months"
    "ounces"
    "per cm"
    "per °C"
    "per °F"
    "pouces"
    "pounds"
    "ppm/°C"
    "s/week"
    "second"
    "tonnes"
    "N/mm2"
    "N/mm²"
    "Pfund"
    "a day"
    "drams"
    "ft lb"
    "ft·lb"
    "g/cm3"
    "g/cm³"
    "grain"
    "grams"
    "hours"
    "kg/m3"
    "kg/m³"
    "lb/ft"
    "ligne"
    "livre"
    "metre"
    "month"
    "ounce"
    "per K"
    "pieds"
    "pouce"
    "pound"
    "ppm/K"
    "s/day"
    "stone"
    "tonne"
    "weeks"
    "yards"
    "years"
    "/day"
    "/min"
    "days"
    "dram"
    "feet"
    "foot"
    "gram"
    "hour"
    "inHg"
    "inch"
    "kg/m"
    "km/h"
    "m/s2"
    "m/s²"
    "mGal"
    "mbar"
    "mmHg"
    "mrad"
    "pied"
    "tons"
    "week"
    "yard"
    "year"
    "/°C"
    "/°F"
    "Gal"
    "MPa"
    "N m"
    "N·m"
    "cwt"
    "day"
    "deg"
    "g/m"
    "hPa"
    "kgf"
    "lbf"
    "lbs"
    "m/s"
    "min"
    "mph"
    "rad"
    "sec"
    "ton"
    "° C"
    "° E"
    "° F"
    "° N"
    "° S"
    "° W"
    "/K"
    "/h"
    "/s"
    "Nm"
    "Pa"
    "cm"
    "dr"
    "ft"
    "gr"
    "hr"
    "in"
    "kJ"
    "kN"
    "kg"
    "km"
    "lb"
    "mW"
    "mg"
    "mm"
    "ms"
    "oz"
    "qr"
    "st"
    "yd"
    "°C"
    "°E"
    "°F"
    "°N"
    "°S"
    "°W"
    "%"
    "J"
    "K"
    "N"
    "W"
    "d"
    "g"
    "h"
    "m"
    "s"
    "t"
    "°"
    "′"
    "″")
  "Units, as keepers write them, the longest first.")

(defconst movement-words-heads
  '(("efficiency of a mesh" fact 0)
    ("arms of wheel" fact 0)
    ("centre of gravity" fact 0)
    ("changes a turn" fact 0)
    ("diameter over all" fact 0)
    ("falls of line" fact 0)
    ("height above sea" fact 0)
    ("hole of wheel" fact 0)
    ("let off by" fact 1)
    ("made of wood" fact 0)
    ("mass per length" fact 0)
    ("one hand only" fact 0)
    ("pallet centre distance" fact 0)
    ("reverse minute wheel" part 0)
    ("thickness of wheel" fact 0)
    ("threads of worm" fact 0)
    ("to head pulley" fact 0)
    ("turns a minute" fact 0)
    ("turns of line" fact 0)
    ("cardan joint" part 2)
    ("hooke joint" part 2)
    ("above ground" fact 0)
    ("above sea" fact 0)
    ("automatic winding" part 0)
    ("beat setting" fact 3)
    ("below suspension" fact 0)
    ("blow interval" fact 0)
    ("borne at" fact 4)
    ("breaking force" fact 0)
    ("cannon pinion" part 0)
    ("central bevel" part 5)
    ("centre distance" fact 6)
    ("check spring" fact 3)
    ("chime barrel" part 0)
    ("circular pitch" fact 0)
    ("count wheel" part 0)
    ("cut for" fact 7)
    ("dead turns" fact 0)
    ("dial work" part 0)
    ("diametral pitch" fact 0)
    ("driven by" fact 8)
    ("driving weight" part 0)
    ("each change" fact 0)
    ("escape wheel" part 0)
    ("found in" fact 3)
    ("groove depth" fact 0)
    ("groove pitch" fact 0)
    ("half arc" fact 0)
    ("hammer pins" fact 0)
    ("holds key" fact 0)
    ("hour hand" part 0)
    ("hour wheel" part 0)
    ("impulse angle" fact 0)
    ("inside pins" fact 0)
    ("jockey weight" fact 0)
    ("knuckle joint" part 2)
    ("layers nested" fact 0)
    ("lead off" part 0)
    ("leading off" part 0)
    ("leading-off work" part 0)
    ("least arc" fact 0)
    ("least hang" fact 0)
    ("left raises" fact 0)
    ("lifting pins" fact 0)
    ("locking angle" fact 0)
    ("locking gaps" fact 9)
    ("locking plate" part 0)
    ("loose weight" part 2)
    ("loose wheel" part 2)
    ("made of" fact 3)
    ("maintaining power" part 10)
    ("mercury height" fact 0)
    ("mesh efficiency" fact 0)
    ("minute hand" part 0)
    ("minute pinion" part 0)
    ("minute wheel" part 0)
    ("minute work" part 0)
    ("motion work" part 0)
    ("on weight" fact 0)
    ("outside diameter" fact 0)
    ("pin diameter" fact 0)
    ("pitch diameter" fact 0)
    ("pulled off" fact 3)
    ("quality factor" fact 0)
    ("ratchet diameter" fact 0)
    ("ratchet teeth" fact 0)
    ("rate book" part 0)
    ("rating nut" part 0)
    ("regulating nut" part 0)
    ("right raises" fact 0)
    ("root diameter" fact 0)
    ("rope grade" fact 0)
    ("run down" fact 11)
    ("scape wheel" part 0)
    ("setting dial" fact 0)
    ("setting work" part 0)
    ("stave diameter" fact 0)
    ("stop work" fact 3)
    ("stopped since" fact 0)
    ("suspension spring" part 0)
    ("teeth cut" fact 12)
    ("time zone" fact 3)
    ("tooth form" fact 12)
    ("trundle diameter" fact 0)
    ("universal joint" part 2)
    ("vane length" fact 0)
    ("vane width" fact 0)
    ("weight tray" part 0)
    ("winding pinion" fact 13)
    ("address" fact 0)
    ("after" fact 1)
    ("angle" fact 0)
    ("anticlockwise" fact 0)
    ("arbor" part 2)
    ("arm" fact 0)
    ("arms" part 0)
    ("away" fact 14)
    ("ball" part 3)
    ("barrel" part 0)
    ("bars" fact 15)
    ("beat" fact 0)
    ("bell" part 2)
    ("belongs" fact 16)
    ("bevel" part 5)
    ("block" part 2)
    ("bob" part 3)
    ("bore" fact 0)
    ("bush" fact 3)
    ("by" fact 3)
    ("cable" part 17)
    ("cams" fact 0)
    ("caption" fact 0)
    ("care" part 0)
    ("click" part 0)
    ("clicks" fact 0)
    ("clock" part 2)
    ("clockwise" fact 0)
    ("condition" fact 3)
    ("construction" fact 3)
    ("contact" part 2)
    ("count" fact 13)
    ("counter-clockwise" fact 0)
    ("counterpoise" fact 18)
    ("country" fact 3)
    ("countwheel" fact 0)
    ("crank" fact 0)
    ("crossings" fact 0)
    ("crutch" part 0)
    ("density" fact 0)
    ("dial" part 19)
    ("diameter" fact 0)
    ("direct" fact 0)
    ("divisions" fact 0)
    ("drives" fact 1)
    ("drop" fact 0)
    ("drum" part 0)
    ("efficiency" fact 0)
    ("ending" fact 3)
    ("escapement" part 20)
    ("expansion" fact 0)
    ("expect" fact 21)
    ("face" part 2)
    ("faces" fact 22)
    ("fall" fact 0)
    ("fan" part 0)
    ("fitted" fact 0)
    ("fixed" fact 0)
    ("fly" part 0)
    ("force" fact 0)
    ("forks" fact 23)
    ("frame" fact 24)
    ("friction" fact 3)
    ("from" fact 25)
    ("front" fact 3)
    ("gap" fact 0)
    ("gear" part 13)
    ("girth" fact 0)
    ("grade" fact 0)
    ("gravity" fact 0)
    ("grooves" fact 0)
    ("hammer" part 2)
    ("handle" fact 0)
    ("height" fact 0)
    ("history" fact 0)
    ("hole" fact 0)
    ("hours" fact 0)
    ("hung" fact 26)
    ("include" fact 0)
    ("inscription" fact 0)
    ("isolator" fact 3)
    ("jack" fact 13)
    ("jars" fact 0)
    ("jumps" fact 3)
    ("keeper" fact 0)
    ("lasts" fact 0)
    ("latitude" fact 0)
    ("layers" fact 0)
    ("legs" part 27)
    ("length" fact 0)
    ("lever" fact 0)
    ("lies" fact 28)
    ("lift" fact 0)
    ("line" part 17)
    ("lock" fact 0)
    ("locks" fact 9)
    ("log" part 0)
    ("longitude" fact 0)
    ("looks" fact 22)
    ("lost" fact 0)
    ("made" fact 3)
    ("mail" fact 3)
    ("maker" fact 3)
    ("mark" fact 3)
    ("mass" fact 0)
    ("material" fact 3)
    ("module" fact 0)
    ("motor" fact 3)
    ("moving" fact 0)
    ("notches" fact 0)
    ("note" fact 0)
    ("of" fact 1)
    ("on" fact 29)
    ("owner" fact 0)
    ("part" part 2)
    ("parts" fact 0)
    ("pawl" part 0)
    ("pendulum" part 0)
    ("photo" part 30)
    ("picture" part 30)
    ("pinion" part 31)
    ("pins" part 32)
    ("pivot" fact 0)
    ("place" part 2)
    ("play" fact 0)
    ("procedure" fact 2)
    ("pulley" part 2)
    ("quarter" fact 0)
    ("rack" part 0)
    ("rate" fact 33)
    ("recoil" fact 0)
    ("reduction" fact 34)
    ("remains" fact 15)
    ("remark" fact 0)
    ("remontoir" part 35)
    ("remontoire" part 35)
    ("renewed" fact 0)
    ("replaced" fact 0)
    ("reserve" fact 0)
    ("rod" part 3)
    ("role" fact 3)
    ("room" fact 0)
    ("rope" part 17)
    ("rota" part 0)
    ("runs" fact 22)
    ("season" part 2)
    ("semi-arc" fact 0)
    ("setting" part 0)
    ("shaft" part 2)
    ("shape" fact 36)
    ("sheave" part 2)
    ("side" fact 28)
    ("silent" fact 37)
    ("skeleton" fact 0)
    ("slabs" fact 15)
    ("snail" part 1)
    ("sounds" fact 7)
    ("spans" fact 38)
    ("spindle" part 2)
    ("spokes" fact 0)
    ("starts" fact 3)
    ("stops" fact 3)
    ("strikes" fact 39)
    ("tackle" fact 0)
    ("taken" fact 0)
    ("takes" fact 0)
    ("taper" fact 0)
    ("teeth" fact 0)
    ("telephone" fact 3)
    ("temperature" fact 0)
    ("termination" fact 3)
    ("thickness" fact 0)
    ("thread" fact 0)
    ("tie" fact 0)
    ("to" fact 2)
    ("train" part 2)
    ("trains" fact 40)
    ("tray" part 0)
    ("tube" fact 0)
    ("turn" fact 0)
    ("turns" fact 41)
    ("vanes" fact 0)
    ("vibration" fact 0)
    ("warning" fact 0)
    ("weight" part 0)
    ("weights" fact 3)
    ("wheel" part 31)
    ("width" fact 0)
    ("wind" fact 42)
    ("winder" part 2)
    ("winding" part 43)
    ("wound" fact 42))
  "What begins a line: spelling, kind, and number of the form behind it.")

(defconst movement-words-forms
  [(() () value)
    (() () path)
    (() () name)
    (() () value)
    (("bottom" "centre" "foot" "middle" "top") () value)
    (("above" "back" "below" "bottom" "east" "far" "front" "left" "lower" "near" "north" "right" "south" "top" "upper" "west") ("drives" "on" "side") value)
    (() ("to") path)
    (("one at the hour" "hours and halves" "repeated hours" "three quarters" "ting-tang quarters" "halves" "hour" "hours" "quarter" "quarters" "ting-tang") () value)
    (("crossed cord" "open cord" "above" "back" "below" "bevel" "bottom" "chain" "contrate" "crown" "east" "external" "far" "front" "internal" "lantern" "left" "lower" "near" "north" "right" "south" "top" "trundles" "upper" "west" "worm") ("by" "on" "side") path)
    (() ("a" "turn") value)
    (("bolt and shutter" "sun and planet" "none needed" "spring ratchet" "bolt-and-shutter") () value)
    (() ("from" "in" "to") value)
    (("stock cutter" "cycloidal" "epicycloidal" "involute") () value)
    (() ("drives") value)
    (() ("for" "to") value)
    (() ("of") value)
    (() ("doubtful") value)
    (("galvanised steel wire rope" "stainless steel wire rope" "galvanised wire rope" "iron wire rope" "stainless wire rope" "steel wire rope" "fibre rope" "gut line" "hemp rope" "manila rope" "polyester rope" "sisal rope" "steel rope" "wire line" "wire rope" "chain" "gut" "hemp" "manila" "polyester" "sisal" "wire") () value)
    (() ("at") value)
    (() () name)
    (("double three-legged gravity" "crown wheel" "dead beat" "four-legged gravity" "pin wheel" "recoil anchor" "anchor" "dead-beat" "deadbeat" "gravity" "pin-wheel" "pinwheel" "recoil" "verge") () value)
    (("above" "anticlockwise" "back" "behind" "below" "clockwise" "counter-clockwise" "counterclockwise" "down" "east" "front" "left" "north" "north-east" "north-west" "outside" "right" "south" "south-east" "south-west" "up" "west") () word)
    (("above" "back" "behind" "below" "down" "east" "front" "left" "north" "north-east" "north-west" "outside" "right" "south" "south-east" "south-west" "up" "west") () value)
    (("in line" "crossed") () value)
    (("plate and spacer" "bird cage" "chair frame" "flat bed" "birdcage" "chair" "flatbed" "four-post" "gothic" "plate-and-spacer" "timber" "wooden") () value)
    (() ("to") value)
    (("for ringing" "for swinging" "dead") () value)
    (("double" "single") () value)
    (("above" "back" "below" "bottom" "east" "far" "front" "left" "lower" "near" "north" "right" "south" "top" "upper" "west") () value)
    (() ("bell") name)
    (() ("of") path)
    (("crossed cord" "open cord" "bevel" "chain" "contrate" "crown" "external" "internal" "lantern" "trundles" "worm") () name)
    (("both sides" "one side") ("on") value)
    (("day" "hour" "minute" "week") ("a" "an" "every" "in" "once") value)
    (() ("to") value)
    (() ("every") value)
    (("flat cylinder" "ball" "box" "cylinder" "cylindrical" "disc" "lens" "lenticular" "rectangular" "sphere") () value)
    (() ("by" "to") value)
    (() ("teeth") value)
    (("one at the hour" "hours and halves" "repeated hours" "three quarters" "ting-tang quarters" "halves" "hour" "hours" "quarter" "quarters" "ting-tang") () value)
    (("end to end" "one behind another" "side by side") () value)
    (("above" "anticlockwise" "back" "behind" "below" "clockwise" "counter-clockwise" "counterclockwise" "down" "east" "front" "left" "north" "north-east" "north-west" "outside" "right" "south" "south-east" "south-west" "up" "west") ("from" "in" "once") value)
    (("every day" "every week" "automatically" "daily" "friday" "monday" "saturday" "sunday" "thursday" "tuesday" "wednesday" "weekly") ("and" "every") value)
    (("endless chain" "endless rope" "bars" "cord" "handle" "lever" "rope") ("by") value)
    (("division" "divisions" "down" "fast" "minus" "plus" "slow" "turn" "turns" "up") ("right") value)
    (("brass" "down" "glass" "invar" "iron" "lead" "steel" "up" "wood" "zinc") () value)
    (() ("by" "every") value)]
  "What may stand behind a word: choices, fixed words, what others are.")

(defconst movement-words-form-entry
  44
  "The form of a line of this kind: entry.")

(defconst movement-words-form-member
  45
  "The form of a line of this kind: member.")

(defconst movement-words-form-task
  46
  "The form of a line of this kind: task.")

(provide 'movement-words)
;;; movement-words.el ends here
