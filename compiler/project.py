"""One description with the files it includes, read and parsed; gets texts through a given reader."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import PurePosixPath
from posixpath import normpath

from countwheel.diagnostics.record import Diagnostic
from countwheel.diagnostics.registry import say
from countwheel.files import TOO_MANY, Trouble, size_of, too_many
from countwheel.source import Source, Span
from countwheel.syntax.layout import lay_out
from countwheel.syntax.lines import read_lines
from countwheel.syntax.tree import Line, Tree

Reader = Callable[[str], str]
DEEPEST = 16


@dataclass(slots=True)
class Project:
    """All files of one description. `segments` are runs of lines with their source, in the order they count."""

    sources: dict[str, Source] = field(default_factory=dict)
    trees: dict[str, Tree] = field(default_factory=dict)
    segments: list[tuple[Source, list[Line]]] = field(default_factory=list)
    lines: int = 0  # of all files so far, and their words
    words: int = 0


def parse(source: Source) -> tuple[Tree, list[Diagnostic]]:
    """One file's text as a tree of lines, with what is amiss in it."""
    tree, report = lay_out(source)
    report += read_lines(tree, source)
    return tree, report


def included(line: Line) -> bool:
    """Whether a line includes another file: its name is the second item."""
    return (
        len(line.items) == 2
        and line.items[0].text.lower() == "include"
        and line.items[1].kind in ("text", "block")
    )


def load(source: Source, base: str, read: Reader, report: list[Diagnostic]) -> Project:
    """The main file and all that it includes. `base` is put before included names in messages."""
    project = Project()
    project.lines, project.words = size_of(source.text)
    _add(project, source, "", base, read, report, ())
    return project


def _add(
    project: Project,
    source: Source,
    name: str,
    base: str,
    read: Reader,
    report: list[Diagnostic],
    above: tuple[str, ...],
) -> None:
    project.sources[source.file] = source
    tree, faults = parse(source)
    project.trees[source.file] = tree
    report += faults
    run: list[Line] = []
    for line in tree.lines:
        if above and line.items and line.items[0].text == "countwheel":
            continue  # an included file may say its version too
        if included(line):
            run.append(line)
            project.segments.append((source, run))
            run = []
            _include(project, source, line, name, base, read, report, (*above, name))
        else:
            run.append(line)
    project.segments.append((source, run))


def _include(
    project: Project,
    source: Source,
    line: Line,
    name: str,
    base: str,
    read: Reader,
    report: list[Diagnostic],
    above: tuple[str, ...],
) -> None:
    item = line.items[1]
    span = source.span(item.start, item.end)
    asked = item.text.replace("\\", "/")
    # Relative to the file that includes, as a keeper would expect, and never absolute.
    inner = normpath(PurePosixPath(name).parent / asked)
    shown = f"{base}{inner}"
    if PurePosixPath(asked).is_absolute():
        report.append(_fault("M004", span, item.text, "it does not begin in the description's own folder"))
        line.broken = True
        return
    if inner in above or shown in project.sources or len(above) > DEEPEST:
        what = "it includes itself, round about" if inner in above else "it is included already"
        if len(above) > DEEPEST:
            what = "the files include one another too deeply"
        report.append(
            say(
                "M003",
                span,
                f"`{item.text}` cannot be included here: {what}.",
                label="again",
                hints=("include each file once",),
            )
        )
        return
    try:
        text = read(inner)
        lines, words = size_of(text)
        lines, words = project.lines + lines, project.words + words
        if too_many(lines, words):
            raise Trouble("M001", f"with it the description has more than {TOO_MANY}")
    except Trouble as trouble:
        report.append(_fault(trouble.code, span, item.text, trouble.why))
        line.broken = True  # what stands in that file is not known, so that its parts are not missed
        return
    project.lines, project.words = lines, words
    _add(project, Source(shown, text), inner, base, read, report, above)


def _fault(code: str, span: Span, name: str, why: str) -> Diagnostic:
    hint = 'keep all files of a description in one folder, and name them from there: "trains/going.movement"'
    return say(code, span, f"`{name}` cannot be read: {why}.", label="this file", hints=(hint,))
