"""The commands that write files: drawings, manual, sheets, register, binder, and all of them in a build."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Iterable
from pathlib import Path

from countwheel import api, files
from countwheel.cli import CLEAN, FAULTS
from countwheel.files import Trouble
from countwheel.telling import fail, standing, tell, width


def stem_of(result: api.Result) -> str:
    return files.stem_of(Path(result.file))


def written(target: Path, names: Iterable[str]) -> None:
    for name in sorted(names):
        print(target / name)


def draw(options: Namespace) -> int:
    from countwheel import outputs

    result = api.compile_file(options.file)
    tell([result])
    if result.clock is None or result.has_errors:
        return FAULTS
    target = Path(options.to) if options.to else Path("out") / stem_of(result) / "drawings"
    made = outputs.drawing_files(outputs.drawings(result))
    if not made:
        print("there is nothing to draw: the description has no train and no dial")
        return CLEAN
    return write_each(target, made | outputs.sound_files(result))


def write_each(target: Path, made: dict[str, bytes]) -> int:
    try:
        files.write_files({target / name: content for name, content in made.items()})
    except Trouble as trouble:
        return fail(trouble.why)
    written(target, made)
    return CLEAN


def manual(options: Namespace) -> int:
    from countwheel import outputs

    outputs.begin()
    result = api.compile_file(options.file)
    tell([result])
    if result.clock is None or result.has_errors:
        return FAULTS
    target = Path(options.to) if options.to else Path("out") / stem_of(result)
    document = outputs.manual(result, outputs.drawings(result), api.gaps(result), contacts=options.contacts)
    return write_each(target, outputs.printed("manual", document, options.paper, files.issue_time()))


def replacement(options: Namespace) -> int:
    from countwheel import outputs

    result = api.compile_file(options.file)
    tell([result])
    if result.clock is None or result.has_errors:
        return FAULTS
    asked = " ".join(options.part)
    document = outputs.replacement(result, asked)
    if document is None and asked:
        from countwheel.emit.replacement import is_escape, near

        if is_escape(result.clock, asked):
            return fail(f"`{asked}` is made to its pallets, not to a mate: there is no sheet for it")
        there = near(result.clock, asked)
        return fail(
            f"this clock has no wheel or pinion `{asked}`"
            + (f"; there is {', '.join(there)}" if there else "")
        )
    if document is None:
        print("no wheel or pinion is said to be lost, partly gone or worn; name the one that is meant")
        return CLEAN
    if options.to:
        return write_each(
            Path(options.to), outputs.printed("replacement", document, options.paper, files.issue_time())
        )
    from countwheel.emit.plain_text import print_text

    sys.stdout.write(print_text(document, width()))
    return CLEAN


def evidence(options: Namespace) -> int:
    result = api.compile_file(options.file, working=False)
    tell([result])
    if result.clock is None:
        return FAULTS
    if options.to:
        if result.has_errors:
            return FAULTS
        from countwheel import outputs

        return write_each(Path(options.to), outputs.register_files(result, options.paper, files.issue_time()))
    from countwheel.emit import register, register_text

    rows = register.facts_of(result.clock, result.sources)
    if options.csv:
        sys.stdout.reconfigure(newline="")  # type: ignore[union-attr]  # RFC 4180 lines end with CR LF everywhere
        sys.stdout.write(register_text.as_csv(rows))
    elif options.json:
        sys.stdout.write(register_text.dump(result.clock.name, rows))
    else:
        sys.stdout.write(register_text.text(result.clock.name, rows, width()))
    return standing([result])


def binder(options: Namespace) -> int:
    from countwheel import outputs

    outputs.begin()
    result, told = outputs.read_for_binder(options.file)
    tell([result])
    if result.clock is None or result.has_errors:
        return FAULTS
    target = Path(options.to) if options.to else Path("out") / f"{stem_of(result)}-binder"
    made = outputs.binder_alone(result, options.paper, files.issue_time(), options.contacts, told)
    return write_whole(target, made)


def write_whole(target: Path, made: dict[str, bytes]) -> int:
    """Puts a folder with a manifest in the place of what was built there before, and says how many files it has."""
    try:
        files.write_folder(target, made)
    except Trouble as trouble:
        return fail(trouble.why)
    print(f"{target}: {len(made)} files")
    return CLEAN
