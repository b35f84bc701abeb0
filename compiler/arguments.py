"""The commands, their arguments and options, each with an example."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date


class _Parser(argparse.ArgumentParser):
    """argparse, with the example of each command kept as written."""

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, formatter_class=argparse.RawDescriptionHelpFormatter, **kwargs)  # type: ignore[misc, arg-type]


def _number(text: str) -> int:
    """A whole number from 1 on, for an option."""
    try:
        number = int(text)
    except ValueError:
        number = 0
    if number < 1:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number from 1 on")
    return number


def _port(text: str) -> int:
    """A port that a program may listen on."""
    number = int(text)
    if not 0 <= number <= 65535:
        raise ValueError(text)
    return number


def _day(text: str) -> date:
    """A day for an option: 2026-05-02."""
    from datetime import date

    try:
        day = date.fromisoformat(text)
    except ValueError:
        day = None
    if day is None or len(text) != 10 or not 1600 <= day.year < 9000:
        raise argparse.ArgumentTypeError(f"{text!r} is not a date such as 2026-05-02")
    return day


def _json(one: argparse.ArgumentParser, schema: str) -> None:
    one.add_argument("--json", action="store_true", help=f"as JSON (its schema: countwheel schema {schema})")


def _paper(one: argparse.ArgumentParser) -> None:
    one.add_argument("--paper", choices=("a4", "us-letter"), default="a4", help="size of the pages")


def _contacts(one: argparse.ArgumentParser) -> None:
    one.add_argument(
        "--contacts",
        choices=("print", "blank"),
        default="print",
        help="telephone numbers and addresses in the manual: print them, or leave room (print, if not given)",
    )


def _stands_for(one: argparse.ArgumentParser) -> None:
    one.add_argument(
        "--as",
        dest="name",
        default="description.movement",
        metavar="PATH",
        help="the path that standard input stands for",
    )


def _first_day(one: argparse.ArgumentParser) -> None:
    one.add_argument(
        "--from", dest="first", type=_day, metavar="DATE", help="first day (today, if not given)"
    )


def parser() -> argparse.ArgumentParser:
    whole = _Parser(
        prog="countwheel",
        description="Describe a tower clock in plain text; get checked figures, drawings and a keeper's manual.",
        epilog="example:\n  countwheel check harbour.movement",
    )
    whole.add_argument("--version", action="store_true", help="print the version and stop")
    commands = whole.add_subparsers(dest="command", metavar="COMMAND")

    def command(name: str, help: str, example: str) -> argparse.ArgumentParser:
        return commands.add_parser(
            name, help=help, description=help[0].upper() + help[1:] + ".", epilog=f"example:\n  {example}"
        )

    def of_file(name: str, help: str, example: str) -> argparse.ArgumentParser:
        """A command that is given one description."""
        one = command(name, help, example)
        one.add_argument("file", metavar="FILE")
        return one

    one = command(
        "new",
        "write a commented starter description in a new folder",
        'countwheel new "Market Hall clock" --train going --train strike',
    )
    one.add_argument("name", help="the clock's name")
    one.add_argument(
        "--train",
        action="append",
        metavar="TRAIN",
        help="a train it has: going, strike or chime (may be given again; going if none)",
    )
    one.add_argument("--dials", default="", metavar="NAMES", help="its dials: north,east")
    one.add_argument(
        "--in",
        dest="parent",
        default=".",
        metavar="FOLDER",
        help="where to put the new folder (here, if not given)",
    )
    one.add_argument(
        "--git",
        action="store_true",
        help="make it a git repository too, with a first commit if git knows who you are",
    )

    one = command(
        "check",
        "say what is amiss in descriptions, and whether what they expect holds",
        "countwheel check harbour.movement",
    )
    one.add_argument(
        "files",
        nargs="+",
        metavar="FILE",
        help="a description, or the folder that holds one; - reads standard input",
    )
    one.add_argument("--format", choices=("text", "json", "sarif"), default="text", help="how to print it")
    _stands_for(one)

    one = of_file(
        "figures",
        "print every calculation for a clock",
        "countwheel figures harbour.movement --only 'going.*' --working",
    )
    one.add_argument(
        "--only", action="append", metavar="GLOB", help="only the figures whose id fits: 'pendulum.*'"
    )
    one.add_argument(
        "--working", action="store_true", help="with formula, numbers, inputs, uncertainty and source"
    )
    _json(one, "figures")
    one.add_argument("--season", metavar="NAME", help="what changes with what this season hangs on")
    one.add_argument(
        "--set",
        action="append",
        metavar="PATH=VALUE",
        help="what changes with another value: 'pendulum.bob.mass=95 kg' (may be given again)",
    )

    one = of_file(
        "find",
        "find what lost counts can have been, and what to measure to tell",
        "countwheel find harbour.movement",
    )
    one.add_argument(
        "--only", action="append", metavar="GLOB", help="only the counts whose name fits: 'going.*'"
    )
    one.add_argument(
        "--most",
        type=_number,
        default=10,
        metavar="NUMBER",
        help="how many candidates to print (10, if not given)",
    )
    one.add_argument("--json", action="store_true", help="as JSON, with every candidate")

    one = of_file(
        "gaps",
        "list what is unknown or weak, what that holds up, and what to measure next",
        "countwheel gaps harbour.movement --to sheets",
    )
    _json(one, "gaps")
    one.add_argument(
        "--to", metavar="FOLDER", help="write the sheet to take up the tower there, HTML and PDF"
    )
    _paper(one)

    one = of_file(
        "rate",
        "say what the log tells: rate, what moves it, what to turn",
        "countwheel rate harbour.movement --weeks 8",
    )
    one.add_argument(
        "--weeks",
        type=_number,
        default=4,
        metavar="NUMBER",
        help="weeks to come that the advice is for (4, if not given)",
    )
    _json(one, "rate")

    one = of_file(
        "log",
        "print the log as CSV, or lines for the log from a CSV file",
        'countwheel log harbour.movement --from-csv old.csv --columns "date=Day, found=Error in s"',
    )
    one.add_argument(
        "--from-csv", metavar="CSV", help="read entries from this file; the description is not changed"
    )
    one.add_argument(
        "--columns",
        default="",
        metavar="NAMES",
        help="which column is what, and its unit: 'date=Day, found=Error in s, temperature=Temp in °F'",
    )
    one.add_argument(
        "--dates",
        choices=("y-m-d", "d-m-y", "m-d-y"),
        default="y-m-d",
        help="the order of year, month and day in that file (y-m-d, if not given)",
    )
    one.add_argument("--to", metavar="PATH", help="write to this new file instead of standard output")

    one = command(
        "compare",
        "show which facts changed between two descriptions, and what that does to the figures",
        "countwheel compare harbour-2025.movement harbour.movement",
    )
    one.add_argument("before", metavar="BEFORE", help="the earlier description, or the folder that holds it")
    one.add_argument("after", metavar="AFTER", nargs="?", help="the later one")
    one.add_argument(
        "--git",
        metavar="FROM..TO",
        help="compare two revisions, in git, of the one description named; FROM alone: with the files as they are now",
    )
    how = one.add_mutually_exclusive_group()
    how.add_argument("--json", action="store_true", help="as JSON (its schema: countwheel schema compare)")
    how.add_argument("--to", metavar="FOLDER", help="write it there as HTML and PDF")
    _paper(one)

    one = of_file(
        "draw",
        "write the drawings as SVG, and the strike as MIDI",
        "countwheel draw harbour.movement --to drawings",
    )
    one.add_argument("--to", metavar="FOLDER", help="where to (out/NAME/drawings, if not given)")

    one = of_file("manual", "write the keeper's manual as HTML and PDF", "countwheel manual harbour.movement")
    one.add_argument("--to", metavar="FOLDER", help="where to (out/NAME, if not given)")
    _paper(one)
    _contacts(one)

    one = of_file(
        "evidence",
        "print how every fact is known, when, by whom and from what",
        "countwheel evidence harbour.movement --csv",
    )
    how = one.add_mutually_exclusive_group()
    how.add_argument("--csv", action="store_true", help="as CSV, for a spreadsheet")
    how.add_argument("--json", action="store_true", help="as JSON (its schema: countwheel schema evidence)")
    how.add_argument("--to", metavar="FOLDER", help="write it there as HTML, PDF and CSV")
    _paper(one)

    one = of_file(
        "replacement",
        "print the sheets for wheels and pinions that are to be cut anew",
        "countwheel replacement harbour.movement going.third.wheel --to sheets",
    )
    one.add_argument(
        "part",
        nargs="*",
        metavar="PART",
        help="a wheel or pinion: going.third.wheel (all that are lost, partly gone or worn, if not given)",
    )
    one.add_argument("--to", metavar="FOLDER", help="write them there as HTML and PDF")
    _paper(one)

    one = of_file(
        "binder",
        "write the binder: every paper in one cover, as one PDF and as a folder of pages",
        "countwheel binder harbour.movement --contacts",
    )
    one.add_argument("--to", metavar="FOLDER", help="where to (out/NAME, if not given)")
    _paper(one)
    one.add_argument("--contacts", action="store_true", help="with names and numbers to call")

    one = command(
        "build",
        "write everything into out/NAME: manual, drawings, figures, manifest",
        "countwheel build specs/*",
    )
    one.add_argument("files", nargs="+", metavar="FILE")
    one.add_argument("--to", default="out", metavar="FOLDER", help="where to (out, if not given)")
    _paper(one)
    _contacts(one)
    one.add_argument(
        "--binder", action="store_true", help="the binder too, without names and numbers to call"
    )
    one.add_argument("--again", action="store_true", help="also what has not changed since it was built")
    one.add_argument(
        "--jobs",
        type=_number,
        metavar="N",
        help="how many descriptions at a time (as many as cores, if not given)",
    )

    one = of_file(
        "serve",
        "show a description in the browser of this machine, kept up with the file while you write",
        "countwheel serve harbour.movement --open",
    )
    one.add_argument(
        "--port", type=_port, default=0, metavar="NUMBER", help="the port (any free one, if not given)"
    )
    one.add_argument("--open", action="store_true", help="open the browser too")

    one = of_file(
        "calendar",
        "write winding, care, seasons and clock changes as an iCalendar file",
        "countwheel calendar harbour.movement --from 2026-05-01 --years 2",
    )
    _first_day(one)
    until = one.add_mutually_exclusive_group()
    until.add_argument("--until", dest="last", type=_day, metavar="DATE", help="last day")
    until.add_argument(
        "--years", type=_number, default=1, metavar="NUMBER", help="for so many years (1, if not given)"
    )
    one.add_argument("--to", metavar="FOLDER", help="where to (out/NAME, if not given)")

    one = of_file(
        "due",
        "say what is overdue, due and next, by the log and the care lines",
        "countwheel due harbour.movement --on 2026-06-01",
    )
    one.add_argument("--on", type=_day, metavar="DATE", help="the day asked about (today, if not given)")
    _json(one, "due")

    one = of_file(
        "rota",
        "say whose turn it is to wind, and for weeks to come",
        "countwheel rota harbour.movement --weeks 12",
    )
    one.add_argument("--on", type=_day, metavar="DATE", help="who winds on this day")
    _first_day(one)
    one.add_argument(
        "--weeks", type=_number, default=13, metavar="NUMBER", help="for so many weeks (13, if not given)"
    )
    _json(one, "rota")
    one.add_argument("--to", metavar="FOLDER", help="write the page to hang up there, HTML and PDF")
    _paper(one)

    one = command(
        "tidy",
        "put descriptions in canonical form; comments, numbers and words stay as written",
        "countwheel tidy harbour.movement",
    )
    one.add_argument(
        "files",
        nargs="+",
        metavar="FILE",
        help="a file, or the folder of a description with all that it includes; - goes from standard input to output",
    )
    one.add_argument(
        "--check", action="store_true", help="only say which are not in it (exit code 1), write nothing"
    )
    one.add_argument("--diff", action="store_true", help="only show what would change, write nothing")
    _stands_for(one)

    one = of_file(
        "facts",
        "print the facts of one file, one a line; of a file that cannot be read whole, its text",
        "countwheel facts harbour.movement",
    )

    one = command(
        "git",
        "let git show facts: git diff and git log -p compare them instead of lines",
        "countwheel git harbour --hook",
    )
    one.add_argument(
        "folder",
        metavar="FOLDER",
        nargs="?",
        default=".",
        help="the description's folder (here, if not given)",
    )
    one.add_argument(
        "--hook", action="store_true", help="also let git check each commit: canonical form, and no errors"
    )

    one = command(
        "language-server",
        "answer an editor on standard input and output, by the Language Server Protocol",
        "countwheel language-server",
    )
    one.add_argument("--stdio", action="store_true", help="on the standard streams, as always")

    one = command("words", "print the words of the language and what they mean", "countwheel words barrel")
    one.add_argument("word", nargs="*", metavar="WORD")

    one = command("explain", "print the page of a diagnostic", "countwheel explain M403")
    one.add_argument("code", nargs="?", metavar="CODE", help="all codes are listed where none is given")

    one = of_file("model", "print the facts of a clock as JSON", "countwheel model harbour.movement")

    one = command("schema", "print the JSON Schema of what a command prints", "countwheel schema figures")
    one.add_argument(
        "of",
        choices=(
            "model",
            "figures",
            "find",
            "gaps",
            "evidence",
            "compare",
            "check",
            "trial",
            "due",
            "rota",
            "rate",
        ),
    )
    return whole
