"""The MIDI file of the strike, read back by a program of others (mido)."""

from __future__ import annotations

import io

import mido
import pytest
from countwheel.emit.draw_strikes import heard_in
from countwheel.emit.strike_midi import LONGEST, notes_of, strike_file
from hand_drawn import DEMOS, OUTSIDE, clock_of

STEMS = tuple(path.stem for path in (*DEMOS, *OUTSIDE))


def notes_in(content: bytes) -> list[tuple[float, int]]:
    """When each note begins, in seconds, and its number, as the reader takes them."""
    found, at = [], 0.0
    for message in mido.MidiFile(file=io.BytesIO(content)):
        at += message.time
        if message.type == "note_on" and message.velocity:
            found.append((at, message.note))
    return found


@pytest.mark.parametrize("stem", STEMS)
def test_there_is_a_note_for_each_blow_of_the_hour_in_its_order(stem: str) -> None:
    clock = clock_of(stem).clock
    assert clock is not None
    content, heard = strike_file(clock), heard_in(clock)
    assert (content is None) == (heard is None)
    if content is None or heard is None:
        return
    assert content == strike_file(clock)
    blows = [blow for number, cell in heard.cells.items() if number > 44 for blow in cell]
    notes = notes_in(content)
    assert len(notes) == len(blows)
    pitch = {blow.bell: note for blow, (_, note) in zip(blows, notes, strict=True)}
    assert [note for _, note in notes] == [pitch[blow.bell] for blow in blows]
    assert len(set(pitch.values())) == len(pitch)
    for (one, _), (two, _), before, after in zip(notes, notes[1:], blows, blows[1:], strict=False):
        assert two - one == pytest.approx(min(after.at - before.at, LONGEST), abs=2e-3)
    file = mido.MidiFile(file=io.BytesIO(content))
    assert file.type == 0
    assert len(file.tracks) == 1
    kinds = [message.type for message in file.tracks[0]]
    assert kinds.count("note_on") == kinds.count("note_off") == len(blows)
    assert kinds[-1] == "end_of_track"


def test_a_note_is_let_go_before_it_is_struck_again() -> None:
    clock = clock_of("marlsted-corn-hall").clock
    assert clock is not None
    content = strike_file(clock)
    assert content is not None
    sounding: set[int] = set()
    for message in mido.MidiFile(file=io.BytesIO(content)):
        if message.type == "note_on":
            assert message.note not in sounding
            sounding.add(message.note)
        elif message.type == "note_off":
            sounding.remove(message.note)
    assert not sounding


def test_the_bells_sound_the_notes_that_are_stated() -> None:
    clock = clock_of("penquay-harbour-office").clock
    assert clock is not None
    content = strike_file(clock)
    assert content is not None
    # F#, F, D#, C# of the quarters, G# of the hour below them: twelve to the octave, C being 0
    first = [note for _, note in notes_in(content)][:4]
    assert [note % 12 for note in first] == [3, 6, 1, 5]  # quarter 1: 3 1 4 2
    assert notes_in(content)[-1][1] % 12 == 8
    assert notes_in(content)[-1][1] < min(first)


def test_notes_as_keepers_write_them() -> None:
    notes, usual = notes_of(
        {"a": "C4", "b": "B flat", "c": "", "d": "fis", "e": "Eb", "f": "about a G", "g": "A-1"}
    )
    # 60 is middle C in the MIDI specification; calling it C4 is the usage of acoustics
    assert [notes[bell] for bell in "abcde"] == [60, 58, 56, 54, 51]
    assert usual == {"c", "f"}
    assert all(24 <= note <= 108 for note in notes.values())
