"""One function a command: calls the facade, prints, returns the exit code."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from collections.abc import Iterable
from fnmatch import fnmatchcase
from pathlib import Path

from countwheel import api, files
from countwheel.cli import CLEAN, FAULTS, WRONG_CALL
from countwheel.diagnostics.record import Diagnostic
from countwheel.files import Trouble
from countwheel.source import Source

WIDE = 100


def _width() -> int:
    """How wide to print: a terminal's own width within reason, else always the same."""
    if not sys.stdout.isatty():
        return WIDE
    import shutil

    return min(WIDE, max(40, shutil.get_terminal_size((WIDE, 24)).columns))


def _colour() -> bool:
    return sys.stderr.isatty() and "NO_COLOR" not in os.environ and os.environ.get("TERM") != "dumb"


def _tell(results: Iterable[api.Result], errors: bool = False) -> None:
    """Diagnostics on standard error, or only the `errors` among them; nothing where all is well."""
    from countwheel.diagnostics.render_text import render

    for result in results:
        text = render(
            [one for one in result.diagnostics if one.severity == "error" or not errors],
            result.sources,
            colour=_colour(),
            width=_width() if sys.stderr.isatty() else None,
        )
        sys.stderr.write(text)


def _fail(message: str) -> int:
    sys.stderr.write(f"countwheel: {message}\n")
    return WRONG_CALL


def _standing(results: Iterable[api.Result]) -> int:
    return FAULTS if any(result.has_errors for result in results) else CLEAN


def check(options: Namespace) -> int:
    diagnostics: list[Diagnostic] = []
    sources: dict[str, Source] = {}
    told, further = [], []
    for name in options.files:
        result = _standard_input(options.name) if name == "-" else api.compile_file(name, working=False)
        # of each description no more is kept than is printed: there may be a thousand
        diagnostics += result.diagnostics
        if result.diagnostics:
            sources |= result.sources
        told.append(f"{result.file}: nothing amiss{_expected(result)}\n")
        if options.format == "text" and not result.has_errors:
            further += _next(result)
    if options.format == "json":
        from countwheel.diagnostics import render_json

        sys.stdout.write(render_json.dump(diagnostics, sources))
    elif options.format == "sarif":
        from importlib.metadata import version

        from countwheel.diagnostics import render_sarif

        sys.stdout.write(render_sarif.dump(diagnostics, sources, version=version("countwheel")))
    else:
        from countwheel.diagnostics.render_text import render

        colour = sys.stdout.isatty() and _colour()
        sys.stdout.write(
            render(diagnostics, sources, colour=colour, width=_width() if sys.stdout.isatty() else None)
        )
        if not diagnostics:
            sys.stdout.writelines(told)
        sys.stdout.writelines(further)
    return FAULTS if any(diagnostic.severity == "error" for diagnostic in diagnostics) else CLEAN


def _next(result: api.Result) -> list[str]:
    """The next most useful thing to record, as a line or two; nothing where no figure waits."""
    gap = api.next_to_record(result)
    if gap is None:
        return []
    from textwrap import fill

    meaning = f" ({gap.meaning})" if gap.meaning else ""
    number = len(gap.holds)
    needed = gap.means.needed if gap.means.needed.startswith("by ") else f"with {gap.means.needed}"
    text = (
        f"next: `{gap.path}`{meaning}, {gap.where}, {needed}:"
        f" {number} figure{' waits' if number == 1 else 's wait'} for it"
    )
    return [fill(text, _width(), subsequent_indent="      ", break_on_hyphens=False) + "\n"]


def _expected(result: api.Result) -> str:
    number = len(result.clock.expectations) if result.clock else 0
    if not number:
        return ""
    return f"; {number} expectation{'s hold' if number > 1 else ' holds'}"


def _standard_input(name: str) -> api.Result:
    folder = files.Folder(Path(name).parent)
    try:
        text = files.decode(sys.stdin.buffer.read())
    except Trouble as trouble:
        return api.unread(name, trouble)
    return api.check_text(text, name, folder.text, folder.has, working=False)


def figures(options: Namespace) -> int:
    from countwheel.emit import figure_json, figure_text

    result = api.compile_file(options.file)
    _tell([result])
    if result.clock is None:
        return FAULTS
    chosen = [
        figure
        for figure in result.figures.values()
        if not options.only or any(fnmatchcase(figure.id, pattern) for pattern in options.only)
    ]
    if options.only and not chosen:
        from countwheel.diagnostics.suggest import nearest

        near = nearest(options.only[0], list(result.figures), 3)
        return _fail(
            f"no figure fits {' or '.join(options.only)}" + (f"; there is {', '.join(near)}" if near else "")
        )
    if options.json:
        sys.stdout.write(figure_json.dump(result.clock.name, chosen, result.diagnostics, result.sources))
    elif options.working:
        sys.stdout.write(figure_text.working(chosen, _width()))
    else:
        sys.stdout.write(figure_text.plain(chosen))
    return _standing([result])


def find(options: Namespace) -> int:
    result = api.compile_file(options.file, working=False)
    _tell([result], errors=True)
    if result.clock is None:
        return FAULTS
    found = api.find(result.clock)
    if options.only:
        found = found.only(options.only)
        if not found.groups and not found.free:
            return _fail(f"no lost count fits {' or '.join(options.only)}")
    if options.json:
        from countwheel.emit import find_json

        sys.stdout.write(find_json.dump(result.clock.name, found))
    else:
        from countwheel.emit import find_text

        sys.stdout.write(find_text.report(found, _width(), options.most))
    return _standing([result])


def gaps(options: Namespace) -> int:
    result = api.compile_file(options.file)
    _tell([result], errors=True)
    found = api.gaps(result)
    if result.clock is None or found is None:
        return FAULTS
    if options.to:
        from countwheel import outputs

        made = outputs.printed(
            "measuring", outputs.measuring(result, found), options.paper, files.issue_time()
        )
        return _write_each(Path(options.to), made)
    if options.json:
        from countwheel.emit import gaps_json

        sys.stdout.write(gaps_json.dump(result.clock.name, found))
    else:
        from countwheel.emit import gaps_text
        from countwheel.emit.manual import wording
        from countwheel.emit.naming import Names

        sys.stdout.write(gaps_text.report(found, Names(result.clock), wording("TITLES"), _width()))
    return _standing([result])


def compare(options: Namespace) -> int:
    """0 where both could be read, whatever changed: as `check` tells what is amiss, this tells what is other."""
    results = [api.compile_file(name, working=False) for name in (options.before, options.after)]
    found = api.compare(*results)
    if found is None:
        _tell(results, errors=True)
        return FAULTS
    if options.json:
        from countwheel.emit import compare_json

        sys.stdout.write(compare_json.dump(results[0].file, results[1].file, found))
    else:
        from countwheel.emit import compare_text

        sys.stdout.write(compare_text.report(found, _width()))
    return CLEAN


def _stem(result: api.Result) -> str:
    stem = Path(result.file).name.removesuffix(files.ENDING)
    return stem if stem.strip(".") else "description"


def _written(target: Path, names: Iterable[str]) -> None:
    for name in sorted(names):
        print(target / name)


def draw(options: Namespace) -> int:
    from countwheel import outputs

    result = api.compile_file(options.file)
    _tell([result])
    if result.clock is None or result.has_errors:
        return FAULTS
    target = Path(options.to) if options.to else Path("out") / _stem(result) / "drawings"
    made = outputs.drawing_files(outputs.drawings(result))
    if not made:
        print("there is nothing to draw: the description has no train and no dial")
        return CLEAN
    return _write_each(target, made | outputs.sound_files(result))


def _write_each(target: Path, made: dict[str, bytes]) -> int:
    try:
        for name, content in made.items():
            files.write_file(target / name, content)
    except Trouble as trouble:
        return _fail(trouble.why)
    _written(target, made)
    return CLEAN


def manual(options: Namespace) -> int:
    from countwheel import outputs

    result = api.compile_file(options.file)
    _tell([result])
    if result.clock is None or result.has_errors:
        return FAULTS
    target = Path(options.to) if options.to else Path("out") / _stem(result)
    document = outputs.manual(result, outputs.drawings(result), contacts=options.contacts)
    return _write_each(target, outputs.printed("manual", document, options.paper, files.issue_time()))


def replacement(options: Namespace) -> int:
    from countwheel import outputs

    result = api.compile_file(options.file)
    _tell([result])
    if result.clock is None or result.has_errors:
        return FAULTS
    asked = " ".join(options.part)
    document = outputs.replacement(result, asked)
    if document is None and asked:
        from countwheel.emit.replacement import is_escape, near

        if is_escape(result.clock, asked):
            return _fail(f"`{asked}` is made to its pallets, not to a mate: there is no sheet for it")
        there = near(result.clock, asked)
        return _fail(
            f"this clock has no wheel or pinion `{asked}`"
            + (f"; there is {', '.join(there)}" if there else "")
        )
    if document is None:
        print("no wheel or pinion is said to be lost, partly gone or worn; name the one that is meant")
        return CLEAN
    if options.to:
        return _write_each(
            Path(options.to), outputs.printed("replacement", document, options.paper, files.issue_time())
        )
    from countwheel.emit.plain_text import print_text

    sys.stdout.write(print_text(document, _width()))
    return CLEAN


def evidence(options: Namespace) -> int:
    result = api.compile_file(options.file, working=False)
    _tell([result])
    if result.clock is None:
        return FAULTS
    if options.to:
        if result.has_errors:
            return FAULTS
        from countwheel import outputs

        return _write_each(
            Path(options.to), outputs.register_files(result, options.paper, files.issue_time())
        )
    from countwheel.emit import register, register_text

    rows = register.facts_of(result.clock, result.sources)
    if options.csv:
        sys.stdout.reconfigure(newline="")  # type: ignore[union-attr]  # RFC 4180 lines end with CR LF everywhere
        sys.stdout.write(register_text.as_csv(rows))
    elif options.json:
        sys.stdout.write(register_text.dump(result.clock.name, rows))
    else:
        sys.stdout.write(register_text.text(result.clock.name, rows, _width()))
    return _standing([result])


def binder(options: Namespace) -> int:
    from countwheel import outputs

    result = api.compile_file(options.file)
    _tell([result])
    if result.clock is None or result.has_errors:
        return FAULTS
    target = Path(options.to) if options.to else Path("out") / f"{_stem(result)}-binder"
    made = outputs.binder_alone(result, options.paper, files.issue_time(), options.contacts)
    return _write_whole(target, made)


def build(options: Namespace) -> int:
    from countwheel import outputs

    results = [api.compile_file(name) for name in options.files]
    _tell(results)
    stems = [_stem(result) for result in results]
    twice = next((stem for stem in stems if stems.count(stem) > 1), None)
    if twice is not None:
        return _fail(f"two descriptions are called {twice}; both would be written to the same folder")
    for result, stem in zip(results, stems, strict=True):
        if result.clock is None or result.has_errors:
            sys.stderr.write(f"{result.file}: not built; what was built before is left as it was\n")
            continue
        target = Path(options.to) / stem
        made = outputs.everything(
            result, options.paper, files.issue_time(), options.binder, contacts=options.contacts
        )
        wrong = _write_whole(target, made)
        if wrong:
            return wrong
    return _standing(results)


def _write_whole(target: Path, made: dict[str, bytes]) -> int:
    """Puts a folder with a manifest in the place of what was built there before, and says how many files it has."""
    kept = files.not_ours(target, made)
    if kept:
        return _fail(
            f"{target} is left as it was: it holds {kept}, which was not built here; name another folder with --to"
        )
    try:
        files.write_folder(target, made)
    except Trouble as trouble:
        return _fail(trouble.why)
    print(f"{target}: {len(made)} files")
    return CLEAN


def tidy(options: Namespace) -> int:
    from countwheel import tidying

    return tidying.tidy(options)


def words(options: Namespace) -> int:
    from countwheel.emit import words_text

    if not options.word:
        sys.stdout.write(words_text.all_words(_width()))
        return CLEAN
    asked = " ".join(options.word)
    text = words_text.about(asked, _width())
    if text is None:
        near = words_text.near(asked)
        return _fail(
            f"`{asked}` is not a word of the language" + (f"; there is {', '.join(near)}" if near else "")
        )
    sys.stdout.write(text)
    return CLEAN


def explain(options: Namespace) -> int:
    from countwheel.diagnostics.registry import CODES

    if options.code is None:
        for code in CODES.values():
            print(f"{code.code}  {code.severity:<6}  {code.title}")
        return CLEAN
    code = options.code.upper()
    if code not in CODES:
        return _fail(f"there is no diagnostic {options.code}; `countwheel explain` lists them all")
    from countwheel.diagnostics.pages import explain as page

    sys.stdout.write(page(code, _width()))
    return CLEAN


def model(options: Namespace) -> int:
    from countwheel.emit import model_json

    result = api.compile_file(options.file)
    _tell([result])
    if result.clock is None:
        return FAULTS
    sys.stdout.write(model_json.dump(result.clock))
    return _standing([result])


def schema(options: Namespace) -> int:
    import json

    from countwheel.diagnostics import render_json
    from countwheel.emit import compare_json, figure_json, find_json, gaps_json, model_json, register_text

    made = {
        "check": lambda: render_json.SCHEMA,
        "model": model_json.schema,
        "figures": figure_json.schema,
        "find": find_json.schema,
        "gaps": gaps_json.schema,
        "compare": compare_json.schema,
        "evidence": register_text.schema,
    }[options.of]()
    sys.stdout.write(json.dumps(made, ensure_ascii=False, indent=2) + "\n")
    return CLEAN


def _ask(options: Namespace) -> None:
    """Asks for the trains and the dials where no option gave them; an empty answer takes what is offered."""
    from countwheel import starter

    try:
        trains = input(f"Which trains has it ({', '.join(starter.TRAINS)})? [going] ")
        options.train = trains.replace(",", " ").split() or ["going"]
        if not options.dials:
            options.dials = input("Its dials, with commas (north, east)? [one dial without a name] ")
    except EOFError:
        print()


def new(options: Namespace) -> int:
    from countwheel import starter

    if not options.train and sys.stdin.isatty():
        _ask(options)
    kinds = options.train or ["going"]
    unknown = [kind for kind in kinds if kind not in starter.TRAINS]
    if unknown:
        return _fail(
            f"`{unknown[0]}` is not a train that a starter can have; there are {', '.join(starter.TRAINS)}"
        )
    dials = [name.strip() for name in options.dials.split(",") if name.strip()]
    stem, made = starter.starter(options.name, kinds, dials)
    if not stem:
        return _fail("the clock's name needs at least one letter or figure")
    target = Path(options.parent) / stem
    if target.exists():
        return _fail(f"{target} is there already; nothing was changed")
    try:
        files.write_folder(target, {name: text.encode() for name, text in made.items()})
    except Trouble as trouble:
        return _fail(trouble.why)
    _written(target, made)
    print(f"next: countwheel check {target}")
    return CLEAN
