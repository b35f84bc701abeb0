"""Every code that a diagnostic can have, and the one way to make a diagnostic.

A code is an `M` and three digits. Its first digit is the stage that finds it:
0 files, 1 lines, 2 words, 3 numbers, 4 names, 5 the clock itself, 6 what the
keeper expects, 7 records. Codes are a public promise: none is ever given a
second meaning.

The standard library only: every stage imports this.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from countwheel.diagnostics.record import Diagnostic, Edit, Label, Severity
from countwheel.source import Span


class Code(NamedTuple):
    """A code, how grave it is, and a short title in a keeper's words."""

    code: str
    severity: Severity
    title: str


# Only what is not plainly an error is listed here.
_LESSER: dict[str, Severity] = {
    "M006": "doubt",
    "M210": "doubt",
    "M508": "doubt",
    "M510": "doubt",
    "M517": "doubt",
    "M518": "advice",
    "M519": "advice",
    "M602": "advice",
    "M604": "advice",
    "M711": "doubt",
    "M712": "advice",
    "M713": "doubt",
    "M714": "doubt",
}

_TITLES: dict[str, str] = {
    # files
    "M001": "A file cannot be read",
    "M002": "The file is not plain text in UTF-8",
    "M003": "Files that include each other, or one file included twice",
    "M004": "A path leaves the description's own folder",
    "M005": "A character that cannot be seen or printed",
    "M006": "The version line is missing",
    "M007": "A version of the language that is not known",
    # lines
    "M101": "A tab at the beginning of a line",
    "M102": "The indentation matches no line above",
    "M103": "A quotation mark is not closed",
    "M104": "A block of text is not closed",
    "M105": "A comma where a decimal point belongs",
    "M106": "Almost a date",
    "M107": "A date that is not in the calendar",
    "M108": "A time of day that no clock can show",
    "M109": "Signs that mean nothing here",
    "M110": "A line that begins with a value instead of a word",
    "M111": "Something after the words that say how it is known",
    "M112": "Almost a number",
    # words
    "M201": "A word that is not known here",
    "M202": "A known word in the wrong place",
    "M203": "The same fact stated twice",
    "M204": "The value is missing",
    "M205": "A value that this word cannot take",
    "M206": "Not one of the choices",
    "M207": "Words left over after the value",
    "M208": "A word that cannot have facts of its own",
    "M209": "The name is missing",
    "M210": "A wanted fact is not stated",
    "M211": "The words that say how it is known do not fit together",
    # numbers
    "M301": "The unit is missing",
    "M302": "The unit measures something else",
    "M303": "A unit that is not known",
    "M304": "The number must be whole",
    "M305": "A count that cannot be",
    "M306": "A range that runs backwards",
    "M307": "The value must be more than nothing",
    "M308": "Units in the wrong order",
    "M309": "The tolerance does not fit the value",
    "M310": "Outside what is possible",
    # names
    "M401": "A name used twice",
    "M402": "A path that leads nowhere",
    "M403": "A pinion with no wheel to drive it",
    "M404": "More than one wheel could drive it",
    "M405": "Nothing drives this arbor",
    "M406": "No such dial, bell or pulley",
    # the clock
    "M501": "The counts and the beat disagree",
    "M502": "The motion work is not 12 to 1",
    "M503": "The motion work does not fit on one centre",
    "M504": "A hand would run backwards",
    "M505": "The minute hand does not turn once an hour",
    "M506": "The locking arbor does not make whole turns a blow",
    "M507": "The blows and the count wheel disagree",
    "M508": "The line needs more than one layer",
    "M509": "The fall is longer than the room there is",
    "M510": "The bob's mass does not fit its size and metal",
    "M511": "The quarters and the hour do not fit",
    "M512": "The pendulum's length and its beat disagree",
    "M513": "It runs down before the winding day",
    "M514": "What was seen turning cannot all be so",
    "M515": "Module, centre distance and counts disagree",
    "M516": "Directions that cannot all be so",
    "M517": "Two recorded values of one fact disagree",
    "M518": "Every recorded value of a fact is doubted",
    "M519": "The one fact that would reconcile the most",
    # what the keeper expects
    "M601": "An expectation is missed",
    "M602": "An expectation cannot be judged yet",
    "M603": "An expectation that is not understood",
    "M604": "Figures wait for facts of which nothing is said",
    # records
    "M701": "A photograph is not there",
    "M702": "The log is out of order",
    "M703": "A log entry cannot be read",
    "M711": "A time of day that the place did not have",
    "M712": "A time of day that came twice",
    "M713": "The clock jumped by an hour in the log",
    "M714": "The clock jumped by a minute or a few in the log",
    "M715": "A rota that cannot be followed",
}

CODES: dict[str, Code] = {
    code: Code(code, _LESSER.get(code, "error"), title) for code, title in _TITLES.items()
}


def say(
    code: str,
    span: Span,
    message: str,
    *,
    label: str = "",
    others: Iterable[Label] = (),
    hints: Iterable[str] = (),
    edits: Iterable[Edit] = (),
) -> Diagnostic:
    """A diagnostic with the severity that belongs to its code.

    Raises KeyError for a code that is not in the registry: that is a fault of
    ours, not of the keeper's.
    """
    return Diagnostic(
        code, CODES[code].severity, span, message, label, tuple(others), tuple(hints), tuple(edits)
    )
