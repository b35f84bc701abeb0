"""Which wheel drives which pinion, and what each train is."""

from __future__ import annotations

import pytest
from resolve_reading import clock_of, codes, compiled, told


def train(*arbors: str) -> str:
    lines = ["train going"]
    for number, arbor in enumerate(arbors):
        lines.append(f"  arbor {'abcdef'[number]}")
        lines += [f"    {fact.strip()}" for fact in arbor.split(";")]
    return "\n".join(lines) + "\n"


def meshes(text: str) -> list[tuple[str, str, str]]:
    return [(mesh.driver.path, mesh.driven.path, mesh.form) for mesh in clock_of(text).trains[0].meshes]


def test_each_pinion_meshes_with_the_wheel_before_it() -> None:
    text = train("wheel 144", "pinion 12; wheel 80", "pinion 10; wheel 75", "pinion 10; escape wheel 30")
    assert meshes(text) == [
        ("going.a.wheel", "going.b.pinion", "external"),
        ("going.b.wheel", "going.c.pinion", "external"),
        ("going.c.wheel", "going.d.pinion", "external"),
    ]
    assert codes(text) == []


def test_of_several_wheels_the_great_or_the_plain_one_drives() -> None:
    assert meshes(train("wheel great 144; wheel count 30", "pinion 12"))[0][0] == "going.a.great"
    assert meshes(train("wheel 144; wheel count 30", "pinion 12"))[0][0] == "going.a.wheel"


def test_which_of_two_must_be_said() -> None:
    text = train("wheel one 144; wheel two 30", "pinion 12")
    assert told(text) == [("M404", "pinion")]
    assert codes(text + "    driven by going.a.two\n") == []
    assert meshes(text + "    driven by going.a.two\n")[0][0] == "going.a.two"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (train("pinion 12", "pinion 8; wheel 60"), [("M403", "pinion"), ("M403", "pinion")]),
        (train("wheel 80", "wheel 60"), [("M405", "arbor")]),
        (train("wheel 80", "pinion 8", "pinion 8"), [("M403", "pinion")]),
        (train("wheel 80", "pinion 8; driven by b"), [("M405", "driven by")]),
        (
            train("wheel 80", "pinion 8; wheel 60; driven by c", "pinion 8; wheel 60; driven by b"),
            [("M405", "arbor")],
        ),
        (train("fly", "pinion 8; driven by a"), [("M403", "driven by")]),
        (train("wheel 80", "driven by a"), [("M405", "arbor")]),
    ],
)
def test_trains_that_do_not_close(text: str, expected: list[tuple[str, str]]) -> None:
    assert told(text) == expected


def test_a_ring_names_all_its_arbors_and_no_other() -> None:
    gears = "pinion 8; wheel 60"
    text = train("wheel 80", f"{gears}; driven by d", f"{gears}; driven by b", f"{gears}; driven by c", gears)
    (fault,) = [one for one in compiled(text).diagnostics if one.code == "M405"]
    assert fault.message.endswith(": b, c, d.")
    assert len(fault.others) == 2


@pytest.mark.parametrize(
    ("driver", "driven", "form", "reverses"),
    [
        ("wheel 80", "pinion 8", "external", True),
        ("wheel 80", "pinion lantern 8", "lantern", True),
        ("wheel internal 80", "pinion 8", "internal", False),
        ("wheel 80 internal", "pinion 8", "internal", False),
        ("wheel internal 80", "pinion lantern 8", "internal", False),
        ("wheel 80", "pinion 8; driven by a by chain", "chain", False),
        ("wheel 80", "pinion 8; driven by a by crossed cord", "crossed cord", True),
        ("wheel contrate 80", "pinion 8", "contrate", None),
        ("pinion worm screw 1", "wheel 80; driven by a", "worm", None),
    ],
)
def test_forms_of_gears(driver: str, driven: str, form: str, reverses: bool | None) -> None:
    (mesh,) = clock_of(train(driver, driven)).trains[0].meshes
    assert (mesh.form, mesh.reverses) == (form, reverses)


@pytest.mark.parametrize(
    ("text", "role"),
    [
        ("train going\n", "going"),
        ("train watch\n", "going"),
        ("train x\n  arbor a\n    escape wheel 30\n", "going"),
        ("train x\n  arbor a\n    pins 40\n", "going"),
        ("train strike\n", "strike"),
        ("train hours\n", "strike"),
        ("train x\n  count wheel\n    cut for hours\n", "strike"),
        ("train x\n  arbor a\n    lifting pins 12\n", "strike"),
        ("train x\n  count wheel\n    cut for quarters\n", "chime"),
        ("train x\n  strikes ting-tang quarters\n", "chime"),
        ("train chime\n", "chime"),
        ("train x\n", "other"),
    ],
)
def test_what_a_train_does(text: str, role: str) -> None:
    assert clock_of(text).trains[0].role == role


def test_a_going_train_wants_something_that_escapes() -> None:
    text = train("wheel 144", "pinion 12; wheel 80")
    wants = [
        one for one in compiled(text).diagnostics if one.code == "M210" and "escape wheel" in one.message
    ]
    assert len(wants) == 1
    for added in ("escape wheel 30", "pins 30", "legs 3 double", "escape wheel ?", "no escape wheel", "lost"):
        result = compiled(f"{text}    {added}\n")
        assert not [one for one in result.diagnostics if "`escape wheel`, no" in one.message], added


def test_a_line_left_out_of_a_train_is_not_told_again_as_others() -> None:
    whole = train("wheel 144", "pinion 12; wheel 80", "pinion 10; escape wheel 30")
    assert codes(whole.replace("wheel 80", "zzzzz 80")) == ["M201"]
    assert codes(whole.replace("wheel 80", "wheel 8O")) == ["M112"]
    assert codes(whole.replace("  arbor b\n", "  zzzzz b\n")) == ["M201"]
    assert codes(whole.replace("    wheel 80", "   wheel 80")) == ["M102"]
    assert codes(whole.replace("    wheel 80", "      wheel 80")) == ["M202"]


def test_a_weight_on_more_parts_of_line_than_any_tackle_has() -> None:
    text = "train going\n  arbor barrel\n    barrel\n      parts {}\n"
    assert "M310" in codes(text.format(5000))
    assert "M310" not in codes(text.format(6))
