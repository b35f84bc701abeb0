"""The command `tidy`: files in canonical form, written, checked or shown as a diff."""

from __future__ import annotations

import sys
from argparse import Namespace
from difflib import unified_diff
from pathlib import Path

from countwheel import api, files
from countwheel.cli import CLEAN, FAULTS
from countwheel.diagnostics.render_text import render
from countwheel.files import Trouble
from countwheel.source import Source
from countwheel.tidy.check import Lost, tidied


def tidy(options: Namespace) -> int:
    """0 where all are in canonical form or were put in it; 1 where one is not (`--check`) or cannot be read."""
    standing = CLEAN
    for name in options.files:
        for path in _paths(name):
            standing = max(standing, _one(path, options))
    return standing


def _paths(name: str) -> list[Path | None]:
    """The files that an argument means; None for standard input."""
    if name == "-":
        return [None]
    if not Path(name).is_dir():
        return [Path(name)]
    return [Path(file) for file in api.compile_file(name, working=False).sources]


def _one(path: Path | None, options: Namespace) -> int:
    shown = options.name if path is None else str(path)
    try:
        data = files.read_stream(sys.stdin.buffer) if path is None else files.read_bytes(path)
        text = files.decode(data)
        source = Source(shown, text)
        made, faults = tidied(source)
        end = "\n" if path is None else files.line_end(data)
    except Trouble as trouble:
        sys.stderr.write(f"{shown}: not touched: {trouble.why}\n")
        return FAULTS
    except Lost as lost:
        sys.stderr.write(f"{shown}: not touched: {lost}; this is a fault of countwheel, please tell of it\n")
        return FAULTS
    if made is None:
        sys.stderr.write(render(faults, {shown: source}))
        sys.stderr.write(f"{shown}: not touched, as it cannot be read whole\n")
        return FAULTS
    if options.diff:
        _show_diff(shown, text, made)
    if options.check:
        if made != text:
            print(f"{shown}: not in canonical form")
        return CLEAN if made == text else FAULTS
    if options.diff:
        return CLEAN
    if path is None:
        sys.stdout.write(made)
    elif made != text:
        try:
            files.write_file(path, made.replace("\n", end).encode(), was=data)
        except Trouble as trouble:
            sys.stderr.write(f"{trouble.why}\n")
            return FAULTS
        print(f"{shown}: put in canonical form")
    return CLEAN


def _show_diff(shown: str, before: str, after: str) -> None:
    lines = unified_diff(before.splitlines(True), after.splitlines(True), shown, f"{shown} (canonical)")
    for line in lines:
        sys.stdout.write(line if line.endswith("\n") else f"{line}\n")
