"""Trying another value is the same as editing the file, and a wrong one is told of where it was written."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from countwheel import api, what_if
from countwheel.diagnostics.record import Diagnostic
from countwheel.search.filling import owners_of
from countwheel.source import Source
from countwheel.what_if import Setting, read_setting, season_settings

SPECS = Path(__file__).parents[2] / "specs"
PENQUAY, ELLENFRITH = "penquay-harbour-office", "ellenfrith-school"

# The demo, what is tried, and the edit that a keeper would make: the text there and what it becomes.
EDITS = [
    (PENQUAY, "going.barrel.weight=3 cwt 0 qr 4 lb", "weight 2 cwt 3 qr 4 lb  ", "weight 3 cwt 0 qr 4 lb  "),
    (PENQUAY, "pendulum.bob.mass=95 kg", "mass     210 lb   ", "mass     95 kg   "),
    (PENQUAY, "pendulum.half_arc=2.2 °", "half arc 2.0 °  ", "half arc 2.2 °  "),
    (PENQUAY, "pendulum.beat=1.251 s", "1.25 s ± 0.00002 s", "1.251 s ± 0.00002 s"),
    (PENQUAY, "pendulum.rod=invar", "rod pine  ", "rod invar  "),
    (PENQUAY, "going.third.wheel=71", "      72      ", "      71      "),
    (PENQUAY, "going.winding.jack=12 drives 90", "jack 12 drives 96", "jack 12 drives 90"),
    (PENQUAY, "clock.wound=every 3 days", "wound every Friday", "wound every 3 days"),
    (PENQUAY, "going.barrel.great=146", "wheel great 144  ", "wheel great 146  "),
    (PENQUAY, "pendulum.gravity_of_nothing=1", "", ""),
    (
        PENQUAY,
        "clock.place.gravity=9.81 m/s²",
        '  place "Penquay"\n',
        '  place "Penquay"\n    gravity 9.81 m/s²\n',
    ),
    (ELLENFRITH, "dial.yard.minute_hand.mass=1 kg", "mass   0.8 kg ", "mass   1 kg "),
    (ELLENFRITH, "clock.place.above_sea=900 m", "above sea 148 m ", "above sea 900 m "),
]


def setting(text: str) -> Setting:
    found = read_setting(Source("--set", text))
    assert isinstance(found, Setting)
    return found


def figures(result: api.Result) -> dict[str, tuple[object, ...]]:
    return {
        id: (figure.value, figure.uncertainty, figure.shown, figure.standing, figure.waits_for, figure.inputs)
        for id, figure in result.figures.items()
    }


def edited(before: api.Result, old: str, new: str) -> api.Result:
    texts = {name: source.text for name, source in before.sources.items()}
    [name] = [name for name, text in texts.items() if text.count(old) == 1]
    texts[name] = texts[name].replace(old, new)
    base = before.file[: len(before.file) - len(Path(before.file).name)]
    return api.check_text(texts[before.file], before.file, lambda one: texts[base + one], working=False)


@pytest.mark.parametrize(
    ("demo", "tried", "old", "new"), [one for one in EDITS if one[2]], ids=lambda x: str(x)[:40]
)
def test_it_is_the_same_as_editing_the_file(demo: str, tried: str, old: str, new: str) -> None:
    before = api.compile_file(SPECS / demo, working=False)
    texts = {name: source.text for name, source in before.sources.items()}
    after = api.with_values(before, [setting(tried)])
    assert isinstance(after, api.Result)
    by_hand = edited(before, old, new)
    assert figures(after) == figures(by_hand)
    assert [(one.code, one.message) for one in after.diagnostics] == [
        (one.code, one.message) for one in by_hand.diagnostics
    ]
    assert figures(after) != figures(before)
    assert {name: source.text for name, source in before.sources.items()} == texts


DEMOS = sorted(path.parent.name for path in SPECS.glob("*/*.movement") if path.stem == path.parent.name)


@pytest.mark.parametrize("demo", DEMOS)
def test_every_value_put_in_its_own_place_changes_nothing(demo: str) -> None:
    """Of all quantities of a demo that stand alone on their line: as each is written now, the texts stay."""
    before = api.compile_file(SPECS / demo, working=False)
    assert before.clock is not None
    nodes = [
        node
        for node in owners_of(before.clock).values()
        if node.quantity() is not None
        and len(node.values) == 1
        and node.path.partition(".")[0] not in ("log", "care", "season", "rota")
    ]
    tried = 0
    for node in nodes:
        value = node.quantity()
        assert value is not None
        place = what_if.placed(before.clock, before.sources, setting(f"{node.path}={value.written}"))
        if isinstance(place, Diagnostic):
            continue  # one path of several lines
        tried += 1
        assert place.texts(before.sources) == {name: source.text for name, source in before.sources.items()}
    assert tried > len(nodes) * 0.7


@pytest.mark.parametrize("demo", DEMOS)
def test_any_number_of_a_demo_is_tried_as_it_is_edited(demo: str) -> None:
    """Five quantities spread over each demo, each made a little more, by its place in the file and by its path."""
    before = api.compile_file(SPECS / demo, working=False)
    assert before.clock is not None
    several = [
        (path, node.values["value"])
        for path, node in owners_of(before.clock).items()
        if node.quantity() is not None
        and len(node.values) == 1
        and path.partition(".")[0] not in ("log", "care", "season", "rota")
        and re.match(r"\d+ [a-z]", node.values["value"].written)
        and len([one for one in before.clock.root.walk() if one.path == path]) == 1
    ]
    assert len(several) >= 5
    for path, value in several[:: len(several) // 5][:5]:
        number, rest = value.written.split(" ", 1)
        more = f"{int(number) + 1} {rest}"
        texts = {name: source.text for name, source in before.sources.items()}
        text = texts[value.span.file]
        texts[value.span.file] = text[: value.span.start] + more + text[value.span.end :]
        base = before.file[: len(before.file) - len(Path(before.file).name)]
        by_hand = api.check_text(
            texts[before.file],
            before.file,
            lambda one, texts=texts, base=base: texts[base + one],
            working=False,
        )
        after = api.with_values(before, [setting(f"{path}={more}")])
        assert isinstance(after, api.Result), path
        assert figures(after) == figures(by_hand), path


def test_several_values_are_tried_together() -> None:
    before = api.compile_file(SPECS / PENQUAY, working=False)
    both = [setting("pendulum.rod=invar"), setting("pendulum.bob.mass=95 kg")]
    after = api.with_values(before, both)
    one = api.with_values(before, both[:1])
    assert isinstance(after, api.Result)
    assert isinstance(one, api.Result)
    assert figures(after) == figures(api.with_values(one, both[1:]))  # type: ignore[arg-type]


# What is tried, the code, and the part of the option that is underlined.
WRONG = [
    ("pendulum.bob.mass=95 kgg", "M303", "kgg"),
    ("pendulum.bob.mass=95", "M301", "95"),
    ("pendulum.bob.mass=95 m", "M302", None),
    ("pendulum.bob.mass", "M204", "pendulum.bob.mass"),
    ("=95 kg", "M204", "=95 kg"),
    ("pendulum.bob.mass=", "M204", "="),
    ("pendulm.bob.mass=95 kg", "M402", "pendulm.bob.mass"),
    ("pendulum.bob.colour=red", "M402", "pendulum.bob.colour"),
    ("pendulum.bob.mass=95 kg\nbell", "M109", "\n"),
    ('clock.owner="""', "M109", '"""'),
    ("log.entry=wound", "M402", "log.entry"),
    ("escapement=lever of gold", None, None),
    ('pendulum.bob.mass="95 kg', None, None),
]


@pytest.mark.parametrize(("text", "code", "marked"), WRONG, ids=lambda x: str(x)[:30])
def test_a_wrong_one_is_told_of_in_its_own_text(text: str, code: str | None, marked: str | None) -> None:
    before = api.compile_file(SPECS / PENQUAY, working=False)
    found = read_setting(Source("--set", text))
    if isinstance(found, Setting):
        found = api.with_values(before, [found])  # type: ignore[assignment]
    assert isinstance(found, Diagnostic)
    assert found.span.file == "--set"
    assert 0 <= found.span.start <= found.span.end <= len(text)
    assert code in (None, found.code)
    assert marked in (None, text[found.span.start : found.span.end])


def test_a_season_is_what_its_lines_say() -> None:
    before = api.compile_file(SPECS / PENQUAY, working=False)
    assert before.clock is not None
    winter = next(one for one in before.clock.root.all("season") if one.label == "winter")
    settings = list(season_settings(winter))
    assert [(one.path, one.value) for one in settings] == [("going.barrel.weight", "3 cwt 0 qr 4 lb")]
    after = api.with_values(before, settings)
    assert isinstance(after, api.Result)
    assert figures(after) == figures(edited(before, "weight 2 cwt 3 qr 4 lb  ", "weight 3 cwt 0 qr 4 lb  "))


def test_the_swing_that_follows_is_the_figure_of_the_season() -> None:
    before = api.compile_file(SPECS / PENQUAY)
    arc, rate = api.swing_after(before, [setting("going.barrel.weight=3 cwt 0 qr 4 lb")])
    assert (arc.value, rate.value) == (
        before.figures["season.winter.arc"].value,
        before.figures["season.winter.rate_change"].value,
    )
    assert api.swing_after(before, [setting("pendulum.bob.mass=95 kg")]) == ()


def test_why_a_figure_changed() -> None:
    from countwheel.compare.reasons import reasons

    before = api.compile_file(SPECS / PENQUAY, working=False)
    after = api.with_values(before, [setting("going.barrel.weight=3 cwt 0 qr 4 lb")])
    assert isinstance(after, api.Result)
    found = api.compare(before, after)
    assert found is not None
    why = reasons((one.id for one in found.figures), after.figures, ["going.barrel.weight"])
    assert why["going.barrel.torque"] == ("going.barrel.weight",)
    assert why["going.centre.torque"] == ("going.barrel.torque",)
    assert all(why[one.id] for one in found.figures)
