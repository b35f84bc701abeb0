"""The facade: everything the commands do, without printing. Nothing here raises for a user's fault."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import partial
from pathlib import Path, PurePath
from typing import TYPE_CHECKING, NamedTuple

from countwheel import files
from countwheel.diagnostics.record import Diagnostic
from countwheel.diagnostics.registry import say
from countwheel.files import Folder, Trouble
from countwheel.source import Source, Span

if TYPE_CHECKING:
    from countwheel.compare.versions import Comparison
    from countwheel.figures.record import Figure
    from countwheel.model.changes import Changes
    from countwheel.model.clock import Clock
    from countwheel.project import Project
    from countwheel.record.report import Report
    from countwheel.search.find import Found
    from countwheel.search.gap import Gap, Gaps
    from countwheel.what_if import Setting


class Result(NamedTuple):
    """What a description compiles to. `clock` is None only where the file could not be read at all."""

    file: str
    clock: Clock | None
    figures: dict[str, Figure]
    diagnostics: tuple[Diagnostic, ...]
    sources: dict[str, Source]
    read_set: tuple[str, ...] = ()

    @property
    def has_errors(self) -> bool:
        return any(diagnostic.severity == "error" for diagnostic in self.diagnostics)


def _no_files(name: str) -> str:
    raise Trouble("M001", "there is no folder to read it from")


class Reading(NamedTuple):
    """A description read and linked, its figures not yet worked out. `diagnostics` are those found so far, as found."""

    file: str
    project: Project
    clock: Clock
    diagnostics: tuple[Diagnostic, ...]

    @property
    def sources(self) -> dict[str, Source]:
        return self.project.sources


def read_text(
    text: str,
    file: str = "description.movement",
    read: Callable[[str], str] = _no_files,
    has: Callable[[str], bool] | None = None,
) -> Reading:
    """Reads a text, and by `read` those of the files that it includes; `has` says whether a photograph is there."""
    from countwheel.project import load
    from countwheel.resolve.facts import Facts
    from countwheel.resolve.passes import resolve

    report: list[Diagnostic] = []
    source = Source(file, text)
    base = file[: len(file) - len(Path(file).name)]
    project = load(source, base, read, report)
    facts = Facts(project.sources, report)
    root = facts.root(source)
    for segment_source, lines in project.segments:
        facts.read(lines, segment_source, root)
    clock = resolve(facts.freeze(root), file, report, frozenset(facts.finder.damaged))
    if has is not None:
        _photos(clock, has, report)
    return Reading(file, project, clock, tuple(report))


def work_out(reading: Reading, working: bool = True) -> Result:
    """The figures of what was read, and what is amiss by them too.

    `working` False leaves out of the figures what only a reader of the sheets needs.
    """
    from countwheel.checks import check
    from countwheel.figures import work_out

    report = list(reading.diagnostics)
    book = work_out(reading.clock, working)
    figures = {figure.id: figure for figure in book.figures}
    report += check(reading.clock, book, report)
    return Result(reading.file, reading.clock, figures, _sorted(report), reading.sources)


def check_text(
    text: str,
    file: str = "description.movement",
    read: Callable[[str], str] = _no_files,
    has: Callable[[str], bool] | None = None,
    working: bool = True,
) -> Result:
    """Compiles a text: model, figures and all that is amiss, by `read_text` and `work_out`."""
    return work_out(read_text(text, file, read, has), working)


def includes(text: str) -> tuple[str, ...]:
    """The names of the files that a text includes, as written, whether they are there or not."""
    from countwheel.project import included, parse

    tree, _ = parse(Source("", text))
    return tuple(line.items[1].text for line in tree.lines if included(line))


def unread(name: str, trouble: Trouble) -> Result:
    """The result of a description that could not be read at all."""
    fault = say(
        trouble.code,
        Span(name, 0, 0),
        f"The description cannot be read: {trouble.why}.",
        hints=("name a file that ends in .movement, or the folder that holds it",),
    )
    return Result(name, None, {}, (fault,), {name: Source(name, "")})


def compile_file(
    path: str | Path, working: bool = True, when_read: Callable[[Reading], None] = lambda _: None
) -> Result:
    """Compiles a file, or the description in a folder; `when_read` may begin what needs no figure."""
    name = str(path)
    try:
        found = files.find_description(name)
        folder = Folder(found.parent)
        text = folder.text(found.name)
    except Trouble as trouble:
        return unread(name, trouble)
    reading = read_text(text, str(found), folder.text, folder.has)
    when_read(reading)
    result = work_out(reading, working)
    return Result(
        result.file, result.clock, result.figures, result.diagnostics, result.sources, tuple(folder.read_set)
    )


def with_values(result: Result, settings: Iterable[Setting], working: bool = False) -> Result | Diagnostic:
    """The description with other values tried, one after the other, in copies of its texts; nothing is written.

    Each setting is a path and a value in the language's own form (`what_if.read_setting`, `.season_settings`). For a
    path that leads nowhere or a value that cannot be read: the diagnostic, whose place is in the setting's own text.
    """
    from countwheel import what_if

    now = result
    for setting in settings:
        assert now.clock is not None
        place = what_if.placed(now.clock, now.sources, setting)
        if isinstance(place, Diagnostic):
            return place
        now = with_texts(now, place.texts(now.sources), working)
        for found in now.diagnostics:
            if found.severity == "error" and found.code < "M4":  # of lines, words and numbers
                told = what_if.moved(found, place, setting)
                if told is not None:
                    return told
    return now


def swing_after(result: Result, settings: Iterable[Setting]) -> tuple[Figure, ...]:
    """How the half arc and by it the rate follow where the settings change the going train's driving weight.

    Worked out as for a season that hangs on that weight; none where the weight stays, or where that cannot be known.
    """
    clock = result.clock
    train = clock.train("going") if clock else None
    weight = train.barrel.get("weight") if train and train.barrel else None
    said = [one for one in settings if weight is not None and one.path.lower() == weight.path.lower()]
    if clock is None or weight is None or not said:
        return ()
    block = f"\nseason {_TRIAL}\n  from 1 January to 31 December\n  {weight.path} {said[-1].value}\n"
    tried = with_texts(result, {result.file: result.sources[result.file].text + block}, working=True)
    wanted = (f"season.{_TRIAL}.arc", f"season.{_TRIAL}.rate_change")
    return tuple(tried.figures[id] for id in wanted if id in tried.figures)


_TRIAL = "on_trial"  # a name that no keeper gives a season


def compile_revision(path: str | Path, revision: str) -> Result:
    """Compiles a description and the files it includes as a revision in git has them, without the whole working."""
    from countwheel import git

    name = str(path)
    try:
        found = files.find_description(name)
        kept = git.Kept(found.parent, revision)
        return check_text(kept.text(found.name), str(found), kept.text, working=False)
    except Trouble as trouble:
        return unread(name, trouble)


def compare(before: Result, after: Result) -> Comparison | None:
    """What changed between two versions; None where one of them could not be read at all."""
    from countwheel.compare import versions

    if before.clock is None or after.clock is None:
        return None
    first, second = (
        versions.Version(clock, result.figures, result.diagnostics)
        for clock, result in ((before.clock, before), (after.clock, after))
    )
    return versions.compare(first, second)


def find(clock: Clock) -> Found:
    """What the counts of a clock that are not known can be: every combination, or why there is none."""
    from countwheel.figures import work_out
    from countwheel.search import find as search

    return search.find(work_out(clock, working=False))


def rate(result: Result, weeks: int = 4) -> Report | None:
    """What the log tells of the timekeeping; None for a description that could not be read."""
    from countwheel.record.report import report

    return report(result.clock, result.figures, weeks) if result.clock is not None else None


ROUNDS = 3  # what is filled in may show that more is lacking


def gaps(result: Result) -> Gaps | None:
    """What is unknown or weak in a description, what that holds up, and what to measure first.

    Nothing for a description that could not be read. The files are not touched: gaps are filled in copies of the texts.
    """
    from countwheel.checks.waiting import not_stated
    from countwheel.search.filling import filled
    from countwheel.search.gaps import gaps as look

    if result.clock is None:
        return None
    found = find(result.clock)
    likeliest = {
        name: count
        for group in found.groups
        for name, count in (group.candidates[0].counts.items() if group.candidates else ())
    }
    missing = tuple(not_stated(result.clock, result.figures))
    needed = _waited_for(result)
    full = result
    for _ in range(ROUNDS):
        assert full.clock is not None
        texts = filled(full.clock, tuple(not_stated(full.clock, full.figures)), likeliest, full.sources)
        if all(texts[name] == source.text for name, source in full.sources.items()):
            break
        again = check_text(
            texts[result.file], result.file, partial(_included, texts, result.file), working=False
        )
        if again.clock is None:
            break
        full = again
        needed |= _waited_for(full)
    assert full.clock is not None
    return look(result.clock, result.figures, full.figures, full.clock, missing, needed, found)


def next_to_record(result: Result) -> Gap | None:
    """The fact that would settle most for its time of those that figures wait for now; None where none waits.

    A quick look, for every run: what waits only behind what waits is not seen, as `gaps` sees it.
    """
    needed = _waited_for(result)
    if result.clock is None or not needed:
        return None
    from countwheel.checks.waiting import not_stated
    from countwheel.search.gaps import gaps as look

    missing = tuple(not_stated(result.clock, result.figures))
    found = look(result.clock, result.figures, result.figures, result.clock, missing, needed)
    return next((gap for gap in found.worklist if gap.holds and gap.kind != "weak"), None)


def _waited_for(result: Result) -> set[str]:
    return {path for figure in result.figures.values() for path in figure.waits_for}


def with_texts(result: Result, texts: Mapping[str, str], working: bool = False) -> Result:
    """The same description compiled anew with other texts in the place of some of its files, which are not touched.

    `texts` are whole files by the names that they have in `result.sources`.
    """
    whole = {name: source.text for name, source in result.sources.items()} | dict(texts)
    return check_text(
        whole[result.file], result.file, partial(_included, whole, result.file), working=working
    )


def _included(texts: Mapping[str, str], main: str, name: str) -> str:
    """The text of a file that the main one includes, by its name from there. Raises Trouble where it was not read."""
    text = texts.get(f"{main[: len(main) - len(Path(main).name)]}{name}")
    if text is None:
        raise Trouble("M001", "there is no such file")
    return text


def _photos(clock: Clock, has: Callable[[str], bool], report: list[Diagnostic]) -> None:
    """Every photograph that the description names is there, inside its folder."""
    for node in clock.root.all("photo"):
        value = node.values.get("file")
        name = node.text(part="file")
        if value is None or name is None:
            continue
        try:
            there = has(name)
        except Trouble as trouble:
            report.append(
                say(
                    trouble.code,
                    value.span,
                    f"`{name}` cannot be used: {trouble.why}.",
                    label="this photograph",
                )
            )
            continue
        if not there:
            report.append(
                say(
                    "M701",
                    value.span,
                    f"There is no photograph `{name}` beside the description.",
                    label="not there",
                    hints=("put the picture there, or take the line out",),
                )
            )


MOST_PHOTOS = 200_000_000  # bytes of photographs that are read for one description, all told


def photo_files(result: Result) -> Iterator[tuple[str, str, bytes | None]]:
    """The photographs that a description names: name, caption, content (None where it is not there or too much)."""
    assert result.clock is not None
    folder = Folder(Path(result.file).parent)
    left = MOST_PHOTOS
    for node in result.clock.root.all("photo"):
        name = node.text(part="file") or ""
        try:
            data = folder.bytes(name) if left > 0 else None
        except Trouble:
            data = None
        left -= len(data or b"")
        yield name, node.text("caption") or name, data


def changes(read: Reading | Result) -> Changes:
    """What git tells of the description's own files, since the last issue that was marked in it."""
    from countwheel import git, history

    folder, names = Path(read.file).parent, names_of(read)
    return history.with_facts(folder, names, git.changes(folder, names))


def names_of(read: Reading | Result) -> list[str]:
    """The files of a description, as they are called from its own folder."""
    folder = Path(read.file).parent
    return [PurePath(name).relative_to(folder).as_posix() for name in read.sources]


def _sorted(report: list[Diagnostic]) -> tuple[Diagnostic, ...]:
    """In the order of the files as they were first mentioned, then by place; the same thing is said once."""
    order: dict[str, int] = {}
    for diagnostic in report:
        order.setdefault(diagnostic.span.file, len(order))
    unique = dict.fromkeys(report)
    return tuple(sorted(unique, key=lambda d: (order[d.span.file], d.span.start, d.span.end, d.code)))
