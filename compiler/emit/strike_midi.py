"""The strike and the chime of an hour to listen to, as a Standard MIDI File.

Format 0, written by us: it is a header and one track of a few kinds of events. Source: Standard MIDI-File Format
Spec. 1.1, The International MIDI Association, Los Angeles: header and track chunks, variable-length quantities (its
sections 1 and 2), meta events (section 3). The bell-like sound is General MIDI's tubular bells: from memory.
"""

from __future__ import annotations

import re
import struct
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from countwheel.emit.draw_strikes import bells_in_order, written_note
from countwheel.figures.book import Book
from countwheel.figures.chimes import Blow, sequence
from countwheel.model.clock import Clock

NAME = "strike.mid"
#: One tick is a millisecond: a thousand to a quarter note, and sixty of these to the minute.
TICKS, TEMPO = 1000, 1_000_000
TUBULAR_BELLS = 14
#: A silence longer than this, in seconds, is cut to it: nobody would wait for the next quarter.
LONGEST = 4.0
_SOUNDS = 3.0  # seconds that a bell is left to sound, unless it is struck again
_FIRST = 84  # two octaves over middle C: the highest bell lies below it where it states no octave
_STEP = 2  # semitones from a bell to the next lower one where it states no note
_NOTE = re.compile(r"\s*([A-Ha-h])\s*(#|♯|b|♭|sharp|flat|is|es)?\s*(-?\d)?\s*", re.IGNORECASE)
_SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11, "H": 11}
_RAISED = {"#": 1, "♯": 1, "sharp": 1, "is": 1, "b": -1, "♭": -1, "flat": -1, "es": -1}


class Played(NamedTuple):
    """One blow: milliseconds from the beginning, the MIDI number of its note."""

    at: int
    note: int


def strike_file(clock: Clock) -> bytes | None:
    """The last hour of twelve: its quarters and halves, and the strike of twelve; None where nothing is heard."""
    blows = hour_of(sequence(Book(clock, working=False)))
    if not blows:
        return None
    bells = bells_in_order(clock, blows)
    notes, usual = notes_of({bell: written_note(clock, bell) for bell in bells})
    told = [f"{bell}: MIDI note {notes[bell]}{', assumed' if bell in usual else ''}" for bell in bells]
    told.append(f"Silences are cut to {LONGEST:g} s. Octaves are assumed where none is stated.")
    return _smf(clock.name, told, played(blows, notes))


def hour_of(blows: Sequence[Blow]) -> tuple[Blow, ...]:
    """What is heard after eleven has struck, up to and with twelve."""
    # A quarter belongs to the time that it leads up to; half of one more is past all blows of eleven.
    start = 11 * 3600.0 + 450.0
    return tuple(blow for blow in blows if blow.at > start)


def notes_of(written: Mapping[str, str]) -> tuple[dict[str, int], frozenset[str]]:
    """The MIDI note of each bell, from the highest down, and the bells whose note is not stated.

    A note without an octave is taken as the nearest below the bell before; a bell without a note is a
    whole tone below that: assumptions, for listening only.
    """
    notes: dict[str, int] = {}
    usual: set[str] = set()
    above = _FIRST
    for bell, text in written.items():
        found = _NOTE.fullmatch(text) if text else None
        if found is None:
            usual.add(bell)
            note = above - _STEP
        else:
            tone = _SEMITONES[found[1].upper()] + _RAISED.get((found[2] or "").lower(), 0)
            # Middle C is 60 and called C4 here.
            note = tone + 12 * (int(found[3]) + 1) if found[3] else above - ((above - tone) % 12 or 12)
        notes[bell] = above = _playable(note)
    return notes, frozenset(usual)


def _playable(note: int) -> int:
    """A note by octaves within what MIDI and the ear can take."""
    while note < 24:
        note += 12
    while note > 108:
        note -= 12
    return note


def played(blows: Sequence[Blow], notes: Mapping[str, int]) -> tuple[Played, ...]:
    """When each blow falls, long silences cut."""
    at = 0.0
    found = [Played(0, notes[blows[0].bell])]
    for before, after in pairwise(blows):
        at += min(after.at - before.at, LONGEST)
        found.append(Played(round(at * TICKS), notes[after.bell]))
    return tuple(found)


# -- the file ------------------------------------------------------------------
def _smf(name: str, texts: Sequence[str], notes: Sequence[Played]) -> bytes:
    events: list[tuple[int, int, bytes]] = []  # tick, order at the same tick, the event
    for number, (at, note) in enumerate(notes):
        again = next((later.at for later in notes[number + 1 :] if later.note == note), None)
        off = at + round(_SOUNDS * TICKS) if again is None else min(at + round(_SOUNDS * TICKS), again)
        # A note ends before it is struck again at the same moment.
        events += [(at, 1, bytes((0x90, note, 100))), (off, 0, bytes((0x80, note, 64)))]
    events.sort(key=lambda event: event[:2])
    track = _meta(0x03, _ascii(name)) + b"".join(_meta(0x01, _ascii(text)) for text in texts)
    track += _meta(0x51, TEMPO.to_bytes(3, "big")) + b"\x00" + bytes((0xC0, TUBULAR_BELLS))
    now = 0
    for at, _, event in events:
        track += _length(at - now) + event
        now = at
    track += _meta(0x2F, b"")
    return b"MThd" + struct.pack(">IHHH", 6, 0, 1, TICKS) + b"MTrk" + struct.pack(">I", len(track)) + track


def _meta(kind: int, data: bytes) -> bytes:
    """A meta event at the same moment as the event before it."""
    return b"\x00\xff" + bytes((kind,)) + _length(len(data)) + data


def _length(number: int) -> bytes:
    """A variable-length quantity: seven bits to a byte, the highest first, the eighth bit set on all but the last."""
    out = [number & 0x7F]
    while number := number >> 7:
        out.append(number & 0x7F | 0x80)
    return bytes(reversed(out))


def _ascii(text: str) -> bytes:
    """The specification has text in printable ASCII for the sake of other programs."""
    return "".join(letter if " " <= letter <= "~" else "?" for letter in text).encode("ascii")
