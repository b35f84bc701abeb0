"""One function a command: calls the facade, prints, returns the exit code."""

from __future__ import annotations

import sys
from argparse import Namespace
from fnmatch import fnmatchcase
from pathlib import Path

from countwheel import api, files
from countwheel.cli import CLEAN, FAULTS
from countwheel.diagnostics.record import Diagnostic
from countwheel.files import Trouble
from countwheel.source import Source
from countwheel.streams import paint
from countwheel.telling import colour as in_colour
from countwheel.telling import fail, standing, tell, width


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

        colour = sys.stdout.isatty() and in_colour()
        paint(
            sys.stdout,
            render(diagnostics, sources, colour=colour, width=width() if sys.stdout.isatty() else None),
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
    return [fill(text, width(), subsequent_indent="      ", break_on_hyphens=False) + "\n"]


def _expected(result: api.Result) -> str:
    number = len(result.clock.expectations) if result.clock else 0
    if not number:
        return ""
    return f"; {number} expectation{'s hold' if number > 1 else ' holds'}"


def _standard_input(name: str) -> api.Result:
    folder = files.Folder(Path(name).parent)
    try:
        text = files.decode(files.read_stream(sys.stdin.buffer))
    except Trouble as trouble:
        return api.unread(name, trouble)
    return api.check_text(text, name, folder.text, folder.has, working=False)


def figures(options: Namespace) -> int:
    if options.season is not None or options.set:
        from countwheel import trying

        return trying.trial(options)
    from countwheel.emit import figure_json, figure_text

    result = api.compile_file(options.file)
    tell([result])
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
        return fail(
            f"no figure fits {' or '.join(options.only)}" + (f"; there is {', '.join(near)}" if near else "")
        )
    if options.json:
        sys.stdout.write(figure_json.dump(result.clock.name, chosen, result.diagnostics, result.sources))
    elif options.working:
        sys.stdout.write(figure_text.working(chosen, width()))
    else:
        sys.stdout.write(figure_text.plain(chosen))
    return standing([result])


def find(options: Namespace) -> int:
    result = api.compile_file(options.file, working=False)
    tell([result], errors=True)
    if result.clock is None:
        return FAULTS
    found = api.find(result.clock)
    if options.only:
        found = found.only(options.only)
        if not found.groups and not found.free:
            return fail(f"no lost count fits {' or '.join(options.only)}")
    if options.json:
        from countwheel.emit import find_json

        sys.stdout.write(find_json.dump(result.clock.name, found))
    else:
        from countwheel.emit import find_text

        sys.stdout.write(find_text.report(found, width(), options.most))
    return standing([result])


def gaps(options: Namespace) -> int:
    result = api.compile_file(options.file)
    tell([result], errors=True)
    found = api.gaps(result)
    if result.clock is None or found is None:
        return FAULTS
    if options.to:
        from countwheel import outputs, writing

        made = outputs.printed(
            "measuring", outputs.measuring(result, found), options.paper, files.issue_time()
        )
        return writing.write_each(Path(options.to), made)
    if options.json:
        from countwheel.emit import gaps_json

        sys.stdout.write(gaps_json.dump(result.clock.name, found))
    else:
        from countwheel.emit import gaps_text
        from countwheel.emit.naming import Names
        from countwheel.emit.templating import wording

        sys.stdout.write(gaps_text.report(found, Names(result.clock), wording("TITLES"), width()))
    return standing([result])


def rate(options: Namespace) -> int:
    result = api.compile_file(options.file, working=False)
    tell([result])
    report = api.rate(result, options.weeks)
    if result.clock is None or report is None:
        return FAULTS
    if options.json:
        from countwheel.emit import rate_json

        sys.stdout.write(rate_json.dump(result.clock.name, report))
    else:
        from countwheel.emit import rate_text

        sys.stdout.write(rate_text.text(result.clock.name, report, width()))
    return standing([result])


def log(options: Namespace) -> int:
    from countwheel import log_files

    return log_files.log(options)


def compare(options: Namespace) -> int:
    """0 where both could be read, whatever changed: as `check` tells what is amiss, this tells what is other."""
    if options.git is None:
        if options.after is None:
            return fail("two descriptions are needed, or one and --git FROM..TO")
        names = [options.before, options.after]
        results = [api.compile_file(name, working=False) for name in names]
    else:
        if options.after is not None or "..." in options.git:
            return fail("--git takes one description and FROM..TO, or FROM for what has changed since")
        first, dots, last = options.git.partition("..")
        revisions = [first or "HEAD", last or "HEAD"] if dots else [first]
        results = [api.compile_revision(options.before, revision) for revision in revisions]
        names = [f"{revision}:{result.file}" for revision, result in zip(revisions, results, strict=True)]
        if not dots:
            results.append(api.compile_file(options.before, working=False))
            names.append(results[-1].file)
    found = api.compare(*results)
    if found is None:
        tell(results, errors=True)
        return FAULTS
    if options.to:
        from countwheel import outputs, writing

        document = outputs.compared(results[1], names[0], names[1], found)
        made = outputs.printed("compare", document, options.paper, files.issue_time())
        return writing.write_each(Path(options.to), made)
    if options.json:
        from countwheel.emit import compare_json

        sys.stdout.write(compare_json.dump(names[0], names[1], found))
    else:
        from countwheel.emit import compare_text

        sys.stdout.write(compare_text.report(found, width()))
    return CLEAN


def tidy(options: Namespace) -> int:
    from countwheel import tidying

    return tidying.tidy(options)


def serve(options: Namespace) -> int:
    from countwheel.preview import serving

    return serving.serve(options.file, options.port, options.open)


def facts(options: Namespace) -> int:
    """The facts of one file; the file itself where it cannot be read whole, so that a comparison never stops."""
    from countwheel.emit import facts_text
    from countwheel.facts_alone import facts_of

    try:
        data = files.read_bytes(Path(options.file))
    except Trouble as trouble:
        return fail(f"{options.file}: {trouble.why}")
    try:
        alone = facts_of(files.decode(data))
    except Trouble:
        alone = None
    if alone is None or alone.faults:
        sys.stdout.flush()
        if hasattr(sys.stdout, "buffer"):
            sys.stdout.buffer.write(data)
        else:
            sys.stdout.write(data.decode("utf-8", "backslashreplace"))
    else:
        sys.stdout.write(facts_text.lines(alone.root))
    return CLEAN


def git(options: Namespace) -> int:
    from countwheel import git_setup

    return git_setup.git(options)


def language_server(options: Namespace) -> int:
    from countwheel.editor.server import serve

    read, write = sys.stdin.buffer, sys.stdout.buffer
    sys.stdout = sys.stderr  # the stream is the editor's: nothing else may be written to it
    serve(read, write)
    return CLEAN


def words(options: Namespace) -> int:
    from countwheel.emit import words_text

    if not options.word:
        sys.stdout.write(words_text.all_words(width()))
        return CLEAN
    asked = " ".join(options.word)
    text = words_text.about(asked, width())
    if text is None:
        near = words_text.near(asked)
        return fail(
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
        return fail(f"there is no diagnostic {options.code}; `countwheel explain` lists them all")
    from countwheel.diagnostics.pages import explain as page

    sys.stdout.write(page(code, width()))
    return CLEAN


def model(options: Namespace) -> int:
    from countwheel.emit import model_json

    result = api.compile_file(options.file)
    tell([result])
    if result.clock is None:
        return FAULTS
    sys.stdout.write(model_json.dump(result.clock))
    return standing([result])


def schema(options: Namespace) -> int:
    import json

    from countwheel.diagnostics import render_json
    from countwheel.emit import (
        compare_json,
        due_text,
        figure_json,
        find_json,
        gaps_json,
        model_json,
        rate_json,
        register_text,
        rota_text,
        what_if_text,
    )

    made = {
        "check": lambda: render_json.SCHEMA,
        "model": model_json.schema,
        "figures": figure_json.schema,
        "find": find_json.schema,
        "gaps": gaps_json.schema,
        "compare": compare_json.schema,
        "evidence": register_text.schema,
        "trial": what_if_text.schema,
        "due": due_text.schema,
        "rota": rota_text.schema,
        "rate": rate_json.schema,
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
    from countwheel import starter, writing

    if not options.train and sys.stdin.isatty():
        _ask(options)
    kinds = options.train or ["going"]
    unknown = [kind for kind in kinds if kind not in starter.TRAINS]
    if unknown:
        return fail(
            f"`{unknown[0]}` is not a train that a starter can have; there are {', '.join(starter.TRAINS)}"
        )
    dials = [name.strip() for name in options.dials.split(",") if name.strip()]
    stem, made = starter.starter(options.name, kinds, dials)
    if not stem:
        return fail("the clock's name needs at least one letter or figure")
    target = Path(options.parent) / stem
    if target.exists():
        return fail(f"{target} is there already; nothing was changed")
    try:
        files.write_folder(target, {name: text.encode() for name, text in made.items()}, afresh=True)
    except Trouble as trouble:
        return fail(trouble.why)
    writing.written(target, made)
    if options.git:
        from countwheel import git_setup

        left = git_setup.begin(target)
        print(f"git: {left}" if left else "git: the first commit is made")
    print(f"next: countwheel check {target}")
    return CLEAN
