"""Paths and labels: what each fact is called, and names that clash."""

from __future__ import annotations

import pytest
from resolve_reading import clock_of, codes, compiled, fact, told

TRAIN = """train going
  arbor barrel
    barrel
      diameter 10 in
      line steel wire rope
        diameter 6 mm
      weight 2 cwt
      pulley "head"
        diameter 9 in
    wheel great 144
    winding
      jack 12 drives 96
  arbor centre
    pinion 12
    wheel 80
    wheel leading 60
    rate once an hour
  count wheel
    cut for hours
"""


@pytest.mark.parametrize(
    ("path", "word"),
    [
        ("going", "train"),
        ("going.centre", "arbor"),
        ("going.centre.pinion", "pinion"),
        ("going.centre.wheel", "wheel"),
        ("going.centre.leading", "wheel"),
        ("going.barrel.great", "wheel"),
        ("going.barrel.diameter", "diameter"),
        ("going.barrel.weight", "weight"),
        ("going.barrel.line.diameter", "diameter"),
        ("going.barrel.head.diameter", "diameter"),
        ("going.winding.jack", "jack"),
        ("going.count_wheel.cut_for", "cut for"),
        ("clock.place.latitude", "latitude"),
    ],
)
def test_what_a_fact_is_called(path: str, word: str) -> None:
    assert fact(TRAIN, path).word == word


def test_the_drum_has_the_name_of_its_arbor_whatever_that_is() -> None:
    text = TRAIN.replace("arbor barrel", "arbor main")
    assert fact(text, "going.barrel.weight").word == "weight"
    assert fact(text, "going.main.great").word == "wheel"


@pytest.mark.parametrize(
    ("line", "path"),
    [
        ('bell "Old Tom"', "bell.old_tom"),
        ("bell 3", "bell.3"),
        ('bell "Großer Glöckner"', "bell.großer_glöckner"),
        ("dial north-east", "dial.north_east"),
        ('contact "Harbour master\'s office"', "contact.harbour_master_s_office"),
        ('loose wheel "crate 3" 78', "crate_3"),
        ("dial", "dial"),
    ],
)
def test_labels_become_paths(line: str, path: str) -> None:
    assert fact(line + "\n", path)


def test_several_dials_in_one_line_are_several_facts_with_the_same_facts_under_them() -> None:
    clock = clock_of('dial north, "south side", east\n  diameter 7 ft\n  minute hand\n    length 38 in\n')
    assert [dial.path for dial in clock.dials] == ["dial.north", "dial.south_side", "dial.east"]
    lengths = {dial.node.quantity("diameter") for dial in clock.dials}
    assert len(lengths) == 1
    paths = {node.path for node in clock.root.walk()}
    assert {"dial.north.minute_hand.length", "dial.east.minute_hand.length"} <= paths


def test_a_fault_under_several_dials_is_told_once() -> None:
    assert codes("dial north, east, south\n  diameter 7\n") == ["M301"]


def test_second_names_are_read_and_kept_as_written() -> None:
    text = "train strike\n  locking plate\n    cut for hours\n"
    node = fact(text, "strike.count_wheel")
    assert (node.word, node.written) == ("count wheel", "locking plate")


def test_capitals_do_not_matter_to_words_and_names() -> None:
    text = "TRAIN Going\n  Arbor Centre\n    Wheel 80\nleading off\n  from GOING.Centre\n"
    assert codes(text) == []
    assert clock_of(text).leading_off[0].from_path == "going.centre"


@pytest.mark.parametrize(
    ("text", "code", "at"),
    [
        ("train going\n  arbor a\n    wheel 80\n  arbor A\n    pinion 8\n", "M401", "arbor"),
        ("train going\n  arbor a\n    wheel 80\n    wheel 90\n", "M401", "wheel"),
        ("train going\ntrain Going\n", "M401", "train"),
        ('bell "hour"\nbell "hour"\n', "M401", "bell"),
        ("dial north\ndial east, north\n", "M401", "dial"),
        ("pendulum\npendulum\n", "M203", "pendulum"),
        ("pendulum\n  beat 1 s\n  vibration 1.25 s\n", "M203", "vibration"),
        ("no dial\ndial north\n", "M203", "dial"),
        ("dial north\nno dial\n", "M203", "no dial"),
        ("train going\n  arbor a\n    wheel 80\n    no wheel\n", "M203", "no wheel"),
        ("train\n", "M209", ""),
        ("train ?\n", "M209", "?"),
        ("season\n", "M209", ""),
    ],
)
def test_names_that_clash_or_are_missing(text: str, code: str, at: str) -> None:
    assert (code, at) in told(text)


def test_the_first_of_two_is_shown_beside_the_second() -> None:
    (fault,) = [
        one for one in compiled("pendulum\n  beat 1 s\n  beat 2 s\n").diagnostics if one.code == "M203"
    ]
    assert fault.others[0].span.start < fault.span.start


@pytest.mark.parametrize(
    ("text", "code", "at"),
    [
        ("leading off\n  from going.centre\n", "M402", "going.centre"),
        ('train going\n  arbor a\n    wheel 80\nphoto "x.jpg" of going.b\n', "M402", "going.b"),
        (
            "train going\n  arbor a\n    wheel 80\n  arbor b\n    pinion 8\n    driven by going.c\n",
            "M402",
            "going.c",
        ),
        (
            "train going\n  arbor a\n    wheel 80\n  arbor b\n    pinion 8\n    driven by going\n",
            "M402",
            "going",
        ),
        ("train strike\n  let off by clock.place\n", "M402", "clock.place"),
        (
            "season winter\n  from 1 May to 2 May\n  going.barrel.weight 3 cwt\n",
            "M402",
            "going.barrel.weight",
        ),
        ("train strike\n  hammer\n    on bell hour\n", "M406", "hour"),
        ("dial north\nleading off\n  from ?\n  to north, east\n", "M406", "north, east"),
    ],
)
def test_paths_that_lead_nowhere(text: str, code: str, at: str) -> None:
    assert [pair for pair in told(text) if pair[0] == code] == [(code, at)]


def test_a_near_path_is_offered() -> None:
    text = "train going\n  arbor centre\n    wheel 80\nleading off\n  from going.center\n"
    (fault,) = [one for one in compiled(text).diagnostics if one.code == "M402"]
    assert fault.hints == ("write going.centre",)


def test_an_arbor_may_be_named_without_its_train() -> None:
    text = "train going\n  arbor a\n    wheel 80\n  arbor b\n    pinion 8\n    driven by A\n"
    assert codes(text) == []
    assert [mesh.driver_arbor for mesh in clock_of(text).trains[0].meshes] == ["going.a"]
