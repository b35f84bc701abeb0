"""Values: several of one fact, none, unknown, lost; units; the tolerance that is taken where none is stated."""

from __future__ import annotations

import pytest
from countwheel.model.values import Absent, Count, Quantity, Unknown
from resolve_reading import codes, compiled, fact

WHEEL = "train going\n  arbor a\n    wheel\n"


# -- several values of one fact ------------------------------------------------------


def test_the_first_value_that_is_not_doubted_holds() -> None:
    text = WHEEL + (
        '      100   counted on 1931-07 by "HB"   doubted "chalk mark missed"\n'
        '      102   counted on 2025-10-11 by "MS"\n'
        "      101   told\n"
    )
    node = fact(text, "going.a.wheel")
    assert node.count(part="teeth") == 102
    assert (node.evidence.how, node.evidence.on, node.evidence.by) == ("counted", "2025-10-11", "MS")
    assert [other.count(part="teeth") for other in node.others] == [100, 101]
    assert node.others[0].evidence.doubted == "chalk mark missed"
    assert codes(text) == ["M517"]  # 102 and 101


def test_where_all_are_doubted_the_first_holds() -> None:
    node = fact(WHEEL + "      100 doubted\n      102 doubted\n", "going.a.wheel")
    assert node.count(part="teeth") == 100
    assert node.evidence.doubted == "no reason given"


def test_a_value_on_the_line_itself_comes_before_those_under_it() -> None:
    node = fact("train going\n  arbor a\n    wheel 102 counted\n      100 told\n", "going.a.wheel")
    assert node.count(part="teeth") == 102
    assert node.evidence.how == "counted"
    assert [other.count(part="teeth") for other in node.others] == [100]


def test_a_doubted_value_on_the_line_itself_gives_way_to_one_under_it() -> None:
    node = fact(
        'train going\n  arbor a\n    wheel great 102 told doubted "by ear"\n      100 counted\n      crossings 6\n',
        "going.a.great",
    )
    assert (node.label, node.count(part="teeth"), node.count("crossings")) == ("great", 100, 6)
    assert (node.evidence.how, node.evidence.doubted) == ("counted", None)
    assert [(other.count(part="teeth"), other.evidence.how) for other in node.others] == [(102, "told")]
    assert node.values["teeth"].evidence == node.evidence


def test_a_label_stands_on_the_line_and_the_counts_under_it() -> None:
    node = fact(
        "train going\n  arbor a\n    wheel great\n      100 counted\n      crossings 6\n", "going.a.great"
    )
    assert (node.label, node.count(part="teeth"), node.count("crossings")) == ("great", 100, 6)


def test_a_quantity_may_have_several_values_too() -> None:
    text = 'pendulum\n  beat\n    1.25 s  measured\n    1.2 s   copied from "survey"\n'
    node = fact(text, "pendulum.beat")
    value = node.quantity()
    assert value is not None
    assert value.si == 1.25
    assert codes(text) == ["M517"]


def test_an_unknown_may_be_one_of_several() -> None:
    node = fact(WHEEL + "      ? 96..104 estimated\n      100 told doubted\n", "going.a.wheel")
    assert isinstance(node.values["teeth"], Unknown)
    assert [other.count(part="teeth") for other in node.others] == [100]


def test_a_fault_in_one_of_several_costs_one_message() -> None:
    assert codes(WHEEL + "      100 counted\n      1OO told\n") == ["M112"]
    assert codes(WHEEL + "      100 counted\n      100 mm told\n") == ["M302"]


# -- none, unknown, lost, perhaps ------------------------------------------------------


@pytest.mark.parametrize("line", ["no minute hand", "No minute hand", "no  minute hand"])
def test_there_is_none(line: str) -> None:
    node = fact(f"dial north\n  {line}\n", "dial.north.minute_hand")
    assert isinstance(node.value, Absent)
    assert codes(f"dial north\n  {line}\n") == []


def test_none_unknown_and_not_stated_are_three_things() -> None:
    text = "pendulum\n  no tray\n  crutch ?\n"
    assert fact(text, "pendulum.tray").values["value"].kind == "absent"
    assert fact(text, "pendulum.crutch").values["value"].kind == "unknown"
    assert not [one for one in compiled(text).diagnostics if "crutch" in one.message or "tray" in one.message]


def test_what_is_said_not_to_be_there_is_no_part_of_the_train() -> None:
    clock = compiled(
        "train going\n  arbor a\n    wheel 80\n    no barrel\n    no escape wheel\n    no fly\n"
    ).clock
    assert clock is not None
    arbor = clock.trains[0].arbors[0]
    assert (arbor.barrel, arbor.escape, arbor.fly) == (None, None, None)
    assert compiled("no train\n").clock.trains == ()  # type: ignore[union-attr]
    assert compiled("no dial\n").clock.dials == ()  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("line", "label"),
    [
        ("wheel lost", None),
        ("wheel great lost", "great"),
        ("wheel ? lost", None),
        ("wheel great ? 80..96 lost", "great"),
    ],
)
def test_a_part_that_is_lost_is_unknown(line: str, label: str | None) -> None:
    text = f"train going\n  arbor a\n    {line}\n"
    node = fact(text, f"going.a.{label or 'wheel'}")
    assert isinstance(node.values["teeth"], Unknown)
    assert node.evidence.lost
    assert node.label == label
    assert codes(text) == []


def test_a_whole_arbor_may_be_lost() -> None:
    text = (
        "train going\n  arbor a\n    wheel 80\n  arbor b\n    lost\n  arbor c\n    pinion 8\n    wheel 60\n"
    )
    assert codes(text) == []


@pytest.mark.parametrize(
    ("line", "low", "high", "choices", "about", "parity"),
    [
        ("length ?", None, None, (), None, None),
        ("length ? 80..96 mm", 0.08, 0.096, (), None, None),
        ("length ? 1 or 2 in", None, None, (0.0254, 0.0508), None, None),
        ("length ? 1 ft or 2 m", None, None, (0.3048, 2.0), None, None),
        ("length ? about 150 mm", None, None, (), 0.15, None),
        ("length ? about 6 ft 3 in", None, None, (), 1.905, None),
        ("length ? 25..35 mm odd", 0.025, 0.035, (), None, "odd"),
        ("length ? even", None, None, (), None, "even"),
        ("temperature ? 8..14 °C", 281.15, 287.15, (), None, None),
        ("temperature ? about 50 °F", None, None, (), 283.15, None),
    ],
)
def test_what_is_known_of_an_unknown_is_in_si(
    line: str, low: float, high: float, choices: tuple[float, ...], about: float, parity: str
) -> None:
    value = fact(f"pendulum\n  {line}\n", f"pendulum.{line.split()[0]}").value
    assert isinstance(value, Unknown)
    assert value.low == (pytest.approx(low) if low is not None else None)
    assert value.high == (pytest.approx(high) if high is not None else None)
    assert value.choices == pytest.approx(choices)
    assert value.about == (pytest.approx(about) if about is not None else None)
    assert value.parity == parity


def test_threads_to_the_inch_count_downwards() -> None:
    value = fact("pendulum\n  rating nut\n    thread ? 16..20 per inch\n", "pendulum.rating_nut.thread").value
    assert isinstance(value, Unknown)
    assert [value.low, value.high] == pytest.approx([0.0254 / 20, 0.0254 / 16])


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("length ? 80..96", "M301"),
        ("length ? about 6 ft 3", "M301"),
        ("length ? 80..96 kg", "M302"),
        ("length ? 96..80 mm", "M306"),
        ("length ? 3 mm", "M205"),
        ("quality factor ? 3000 s", "M205"),
        ("quality factor ? about 3000 s", "M302"),
    ],
)
def test_faults_in_what_is_known_of_an_unknown(line: str, code: str) -> None:
    assert codes(f"pendulum\n  {line}\n") == [code]


# -- units -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "si"),
    [
        ("weight 2 cwt 1 qr 4 lb", (2 * 112 + 28 + 4) * 0.45359237),
        ("weight 1 ton", 1016.0469088),
        ("weight 7 lb 14 oz", 7.875 * 0.45359237),
        ("diameter 6 ft 3 1/2 in", 75.5 * 0.0254),
        ("diameter 10½ in", 10.5 * 0.0254),
        ("diameter 1/2 in", 0.0127),
        ("diameter 3 Paris inch", 3 * 0.02706995),
        ("fall 34 ft ± 2 in", 34 * 0.3048),
    ],
)
def test_si_values(line: str, si: float) -> None:
    text = f"train going\n  arbor barrel\n    barrel\n      {line}\n"
    value = fact(text, f"going.barrel.{line.split()[0]}").quantity()
    assert value is not None
    assert value.si == pytest.approx(si, rel=1e-12)
    assert value.written == line.split(" ", 1)[1]


@pytest.mark.parametrize(
    ("line", "degrees"),
    [
        ("latitude 50.12 °N", 50.12),
        ("latitude 50.12 ° N", 50.12),
        ("latitude 33 °S", -33),
        ("latitude 50 ° 7 ′ N", 50 + 7 / 60),
        ("latitude 50°7′12″S", -50.12),
        ("longitude 5 ° 30 ′ W", -5.5),
        ("longitude 5.5 °E", 5.5),
    ],
)
def test_latitude_and_longitude(line: str, degrees: float) -> None:
    from math import radians

    result = compiled(f"clock\n  place\n    {line}\n")
    assert result.clock is not None
    word = line.split()[0]
    values = [node.quantity() for node in result.clock.root.walk() if node.word == word]
    value = values[-1]
    assert value is not None
    assert value.si == pytest.approx(radians(degrees), rel=1e-12)
    assert value.written == line.split(" ", 1)[1]


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("latitude 91 °N", "M310"),
        ("latitude -50 °N", "M310"),
        ("latitude 50 °", "M302"),
        ("latitude 50 ° E", "M302"),
        ("latitude 50", "M301"),
        ("longitude 181 °W", "M310"),
        ("above sea 22 lb", "M302"),
        ("above sea 22 M", "M303"),
        ("above sea 1 022 m", "M112"),
        ("above sea about 22 m", "M205"),
        ("room 0 m", "M307"),
        ("room -3 m", "M307"),
        ("room 3 in 2 ft", "M308"),
        ("room 3 m ± 4 m", "M309"),
        ("room 3 m ± 4 kg", "M309"),
        ("room 3..4 m", "M205"),
        ("room", "M204"),
        ("room 3 m high", "M207"),
        ('room 3 m from "plan"', "M211"),
        ("room 3 m mesured", "M207"),
    ],
)
def test_faults_in_quantities(line: str, code: str) -> None:
    assert code in [one.code for one in compiled(f"clock\n  place\n    {line}\n").diagnostics]


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("wheel 80.5", "M304"),
        ("wheel 80 1/2", "M304"),
        ("wheel 0", "M305"),
        ("wheel -80", "M305"),
        ("wheel 3", "M305"),
        ("wheel 10001", "M305"),
        ("wheel 80 mm", "M302"),
        ("wheel 80..96", "M205"),
        ("wheel 80 leafs", "M207"),
        ("wheel 80 intrnal", "M206"),
        ("wheel great", "M204"),
        ("pinion 3", "M305"),
    ],
)
def test_faults_in_counts(line: str, code: str) -> None:
    assert code in codes(f"train going\n  arbor a\n    {line}\n")


@pytest.mark.parametrize("temperature", ["-300 °C", "-460 °F", "-1 K"])
def test_nothing_is_colder_than_absolute_zero(temperature: str) -> None:
    """0 K is -273.15 °C and -459.67 °F (definition of the kelvin and of the Fahrenheit scale)."""
    assert codes(f"pendulum\n  temperature {temperature}\n") == ["M310"]
    assert codes("pendulum\n  temperature -20 °C\n") == []


# -- tolerances --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("evidence", "half"),
    [("measured", 0.005), ("stamped", 0.01), ("told", 0.05), ("assumed", 0.2), ("", 0.01)],
)
def test_the_usual_tolerance_goes_by_how_it_is_known(evidence: str, half: float) -> None:
    """The rows of `tolerances.table` for lengths: per cents of the value."""
    value = fact(
        f"train going\n  arbor barrel\n    barrel\n      diameter 10 in {evidence}\n", "going.barrel.diameter"
    ).quantity()
    assert value is not None
    assert value.tolerance is not None
    assert value.tolerance.half_width == pytest.approx(0.254 * half)
    assert not value.tolerance.stated
    assert value.tolerance.written.endswith(f"(usual for {evidence or 'its kind'})")


def test_a_row_for_the_word_wins_over_one_for_its_kind() -> None:
    node = fact(
        "train going\n  arbor barrel\n    barrel\n      turns of line 17 counted\n",
        "going.barrel.turns_of_line",
    )
    value = node.values["value"]
    assert value.kind == "number"
    assert value.tolerance is not None
    assert value.tolerance.half_width == 0.25


@pytest.mark.parametrize(
    ("written", "half"),
    [
        ("10 in ± 1/16 in", 0.0254 / 16),
        ("10 in ± 2 %", 0.00508),
        ("10 ft ± 1 ft 2 in", 0.3556),
        ("10 in +/- 1 mm", 0.001),
    ],
)
def test_a_stated_tolerance(written: str, half: float) -> None:
    value = fact(
        f"train going\n  arbor barrel\n    barrel\n      diameter {written} measured\n",
        "going.barrel.diameter",
    ).quantity()
    assert value is not None
    assert value.tolerance is not None
    assert value.tolerance.half_width == pytest.approx(half)
    assert value.tolerance.stated


def test_counts_are_exact() -> None:
    assert isinstance(
        fact("train going\n  arbor a\n    wheel 80 told\n", "going.a.wheel").values["teeth"], Count
    )


def test_a_tolerance_of_a_temperature_is_a_difference() -> None:
    value = fact("pendulum\n  temperature 50 °F ± 9 °F\n", "pendulum.temperature").value
    assert isinstance(value, Quantity)
    assert value.tolerance is not None
    assert [value.si, value.tolerance.half_width] == pytest.approx([283.15, 5.0])
