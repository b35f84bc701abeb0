"""The pages, by their places: each made of what lies on the desk, worded in `pages/*.html.j2`.

A page is whole without its script, which only saves loading it anew.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any, NamedTuple
from urllib.parse import parse_qs, quote

from countwheel.diagnostics.registry import CODES
from countwheel.diagnostics.render_text import in_order, summary
from countwheel.emit.clean import first_capital
from countwheel.emit.figure_text import value_text, weakest_fact
from countwheel.emit.naming import Names
from countwheel.emit.sheet_tags import turning_words
from countwheel.highlight.page import source_css, source_html
from countwheel.preview.desk import UNREAD, Desk, is_whole
from countwheel.preview.guard import Refused

if TYPE_CHECKING:
    from countwheel.diagnostics.record import Diagnostic
    from countwheel.preview.part import Line
    from countwheel.source import Source, Span
    from jinja2 import Environment

#: The pages at the top, in their order: place and title.
PLACES = (
    ("", "Trains"),
    ("amiss", "What is amiss"),
    ("figures", "Figures"),
    ("try", "Try a value"),
    ("drawings", "Drawings"),
    ("manual", "Manual"),
    ("text", "The text"),
)
_TITLES = dict(PLACES)
_FILES = {"preview.js": "js", "icon.svg": "svg"}
#: Faults that are shown on top of every page, the first in full; the others are counted there.
_ON_TOP = 4
#: A place in a query is never longer, nor are there more of one name.
_LONGEST, _MOST = 300, 8
Query = dict[str, list[str]]


def page(desk: Desk, place: str, query: str) -> tuple[str, bytes]:
    """The kind (html, css, js, svg) and the content of a place. Raises Refused where there is none."""
    if place in _FILES:
        return _FILES[place], _file(place)
    if place == "preview.css":
        printed = files("countwheel.emit").joinpath("templates/print/manual.css").read_bytes()
        return "css", b"\n".join((printed, _file("preview.css"), source_css().encode()))
    first, _, rest = place.partition("/")
    maker = _PAGES.get(first)
    if maker is None or (rest and first not in ("figures", "manual", "explain")):
        raise Refused(404, "There is no such page.")
    try:
        asked = parse_qs(query, max_num_fields=2 * _MOST)
    except ValueError:
        raise Refused(404, "There is no such page.") from None
    asked = {name: [one[:_LONGEST] for one in values] for name, values in asked.items()}
    with desk.work:
        try:
            template, given = maker(desk, rest, asked)
        except Refused:
            raise
        except Exception:
            # What contradicts itself cannot always be drawn. A whole description always can: then it is our fault.
            if is_whole(desk.shown):
                raise
            template, given = "unmade", {}
        return "html", _render(desk, template, first, "../" if rest else "", given)


def _file(name: str) -> bytes:
    return files("countwheel.preview").joinpath("pages", name).read_bytes()


@cache
def _environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    made = Environment(
        loader=PackageLoader("countwheel.preview", "pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["capital"] = first_capital
    made.filters["coded"] = _coded
    made.filters["quoted"] = lambda text: quote(text, safe="")
    return made


def _coded(text: str) -> Any:
    """A sentence in which what stands between `backticks` is as it would be written in the file."""
    from markupsafe import Markup, escape

    pieces = text.split("`")
    if len(pieces) % 2 == 0:
        return escape(text)
    return Markup("").join(
        Markup("<code>{}</code>").format(piece) if at % 2 else escape(piece)
        for at, piece in enumerate(pieces)
    )


def _render(desk: Desk, template: str, here: str, root: str, given: dict[str, Any]) -> bytes:
    clock = desk.shown.clock
    # What keeps the pages from coming up to date stands first.
    errors = [one for one in in_order(desk.diagnostics) if one.severity == "error"]
    errors.sort(key=lambda one: one.code[1] not in UNREAD)
    return (
        _environment()
        .get_template(f"{template}.html.j2")
        .render(
            root=root,
            here=here,
            places=PLACES,
            title=_TITLES.get(here, here),
            clock_name=clock.name if clock else desk.file,
            file=desk.file,
            version=desk.version,
            stale=desk.stale,
            summary=summary(desk.diagnostics),
            amiss=len(desk.diagnostics),
            on_top=[_told(desk, one) for one in errors[:_ON_TOP]] if here != "amiss" else [],
            more_on_top=max(0, len(errors) - _ON_TOP),
            **given,
        )
        .encode()
    )


# -- what is amiss -----------------------------------------------------------------------
class Told(NamedTuple):
    """A diagnostic made ready: its line parted in what stands before, in and after the underlined part."""

    diagnostic: Diagnostic
    title: str
    place: str
    line: tuple[str, str, str] | None
    others: tuple[tuple[str, tuple[str, str, str] | None, str], ...]


def _told(desk: Desk, one: Diagnostic) -> Told:
    sources = desk.now.sources
    others = tuple(
        (_place(desk, sources.get(other.span.file), other.span), _parted(sources.get(other.span.file), other.span),
         other.text)
        for other in one.others
    )  # fmt: skip
    source = sources.get(one.span.file)
    return Told(one, CODES[one.code].title, _place(desk, source, one.span), _parted(source, one.span), others)


def _place(desk: Desk, source: Source | None, span: Span) -> str:
    """The file as seen from the description's own folder, line and column."""
    name = span.file.removeprefix(desk.file[: desk.file.rfind("/") + 1])
    if source is None or not source.text:
        return name
    at = source.place(span.start)
    return f"{name}, line {at.line}, column {at.column}"


def _parted(source: Source | None, span: Span) -> tuple[str, str, str] | None:
    if source is None or not source.text:
        return None
    start = source.place(span.start)
    text = source.line_text(start.line)
    first = min(start.column - 1, len(text))
    last = min(max(first + span.end - span.start, first + 1), len(text))
    return text[:first], text[first:last] or " ", text[last:]


def _amiss(desk: Desk, rest: str, query: Query) -> tuple[str, dict[str, Any]]:
    return "amiss", {"told": [_told(desk, one) for one in in_order(desk.diagnostics)]}


def _explain(desk: Desk, rest: str, query: Query) -> tuple[str, dict[str, Any]]:
    from countwheel.diagnostics.pages import explain

    if rest not in CODES:
        raise Refused(404, "There is no such page.")
    return "explain", {"code": rest, "text": explain(rest, 80)}


# -- the text --------------------------------------------------------------------------------
def _text(desk: Desk, rest: str, query: Query) -> tuple[str, dict[str, Any]]:
    """Every file as it is now, in colours, its faulty lines marked; each line has an address of its own."""
    faulty: dict[str, set[int]] = {}
    for one in desk.diagnostics:
        if (source := desk.now.sources.get(one.span.file)) is not None:
            faulty.setdefault(one.span.file, set()).add(source.place(one.span.start).line)
    folder = desk.file[: desk.file.rfind("/") + 1]
    texts = []
    for at, (name, source) in enumerate(desk.now.sources.items(), 1):
        marked = sorted(faulty.get(name, ()))
        html = source_html(source.text, anchor=f"line-{at}", marked=marked)
        texts.append((name.removeprefix(folder), f"file-{at}", html))
    return "text", {"texts": texts}


def _line_at(desk: Desk) -> Callable[[Line], str]:
    """The address of a line of the text, from the top."""
    folder = desk.file[: desk.file.rfind("/") + 1]
    order = {name.removeprefix(folder): at for at, name in enumerate(desk.now.sources, 1)}
    return lambda line: f"text#line-{order.get(line.file, 1)}-{line.number}"


# -- the trains ------------------------------------------------------------------------------
def _trains(desk: Desk, rest: str, query: Query) -> tuple[str, dict[str, Any]]:
    from countwheel.preview.part import part_of

    result = desk.shown
    asked = query.get("part", [""])[0]
    names = Names(result.clock) if result.clock else None
    turned = {
        one.arbor.path: tuple(turning_words(one.arbor, result.figures, names))
        for drawn in desk.trains()
        for one in drawn.listed
        if names is not None
    }
    return "trains", {
        "trains": desk.trains(),
        "turned": turned,
        "asked": asked,
        "part": part_of(result, asked) if asked else None,
        "sheet_of": _sheet_of(desk),
        "line_at": _line_at(desk),
    }


def _sheet_of(desk: Desk) -> Callable[[str], str]:
    """The address of a figure's working, from the top."""

    def address(id: str) -> str:
        return f"figures/{quote('sheets-' + id.partition('.')[0])}#sheet-{quote(id)}"

    return address


# -- figures, drawings, manual -----------------------------------------------------------------
def _figures(desk: Desk, rest: str, query: Query) -> tuple[str, dict[str, Any]]:
    if rest:
        return _chapter(desk, "figures", rest)
    result = desk.shown
    groups: dict[str, list[tuple[str, str, str, str]]] = {}
    if result.clock is not None:
        names = Names(result.clock)
        for id, figure in result.figures.items():
            owner = id.partition(".")[0]
            name = names.owner(owner)
            row = (id, names.in_text(figure.title, owner), value_text(figure), weakest_fact(figure))
            groups.setdefault(name, []).append(row)
    waiting = {id for id, figure in result.figures.items() if figure.value is None}
    return "figures", {"groups": groups, "waiting": waiting, "sheet_of": _sheet_of(desk)}


def _drawings(desk: Desk, rest: str, query: Query) -> tuple[str, dict[str, Any]]:
    from countwheel.emit.html import print_picture

    made = desk.drawings() if desk.shown.clock else ()
    return "drawings", {"drawings": [(one.id, one.title, print_picture(one)) for one in made]}


def _manual(desk: Desk, rest: str, query: Query) -> tuple[str, dict[str, Any]]:
    if rest:
        return _chapter(desk, "manual", rest)
    chapters = desk.manual().chapters if desk.shown.clock else ()
    return "manual", {"chapters": chapters}


def _chapter(desk: Desk, of: str, id: str) -> tuple[str, dict[str, Any]]:
    document = desk.manual() if of == "manual" else desk.sheets()
    ids = [one.id for one in document.chapters]
    if id not in ids:
        raise Refused(404, "There is no such chapter.")
    at = ids.index(id)
    return "chapter", {
        "of": of,
        "before": document.chapters[at - 1] if at else None,
        "after": document.chapters[at + 1] if at + 1 < len(ids) else None,
        "content": desk.chapters(of, quote)[id],
    }


# -- trying a value --------------------------------------------------------------------------
class Slider(NamedTuple):
    """One fact that is tried: what it is now, and the numbers of its slider as text."""

    fact: Any
    value: str
    low: str
    high: str
    step: str
    without: str  # the query that leaves it out


def _try(desk: Desk, rest: str, query: Query) -> tuple[str, dict[str, Any]]:
    from countwheel.preview.trying import MOST, facts, plain

    there = facts(desk.shown)
    asked = [id for id in dict.fromkeys(query.get("fact", [])) if id in there][:MOST]
    wanted = {}
    for at, id in enumerate(asked):
        fact = there[id]
        given = _number(query.get("value", []), at)
        middle = fact.number if fact.number is not None else float(math.ceil((fact.low + fact.high) / 2))
        wanted[id] = given if given is not None else middle
    tried = desk.tried(wanted.items()) if wanted else None
    sliders = []
    for id, number in wanted.items():
        fact = there[id]
        value, low, high = (
            plain(one, fact.step) for one in (number, min(fact.low, number), max(fact.high, number))
        )
        others = "&".join(
            f"fact={quote(other, safe='')}&value={plain(wanted[other], there[other].step)}"
            for other in wanted
            if other != id
        )
        sliders.append(Slider(fact, value, low, high, plain(fact.step, fact.step), others))
    groups: dict[str, list[Any]] = {}
    for fact in there.values():
        groups.setdefault(fact.group, []).append(fact)
    names = Names(desk.shown.clock) if desk.shown.clock else None
    was = {(one.code, one.message) for one in desk.shown.diagnostics}
    return "try", {
        "groups": groups,
        "sliders": sliders,
        "most": MOST,
        "tried": tried,
        "told": lambda shift: names.in_text(shift.title, shift.id.partition(".")[0]) if names else shift.title,
        "differences": _difference,
        "worked_out": {id for id, figure in desk.shown.figures.items() if figure.value is not None},
        "new": [
            one for one in tried.result.diagnostics
            if one.severity == "error" and (one.code, one.message) not in was
        ] if tried else [],
        "sheet_of": _sheet_of(desk),
    }  # fmt: skip


def _number(values: list[str], at: int) -> float | None:
    try:
        number = float(values[at])
    except (IndexError, ValueError):
        return None
    return number if math.isfinite(number) and 0 <= abs(number) < 1e9 else None


def _difference(shift: Any) -> str:
    """The difference of a figure with its sign, to three digits."""
    if shift.difference is None:
        return ""
    from countwheel.emit.shown import bearing

    text = bearing(abs(shift.difference), None)
    return f"{'+' if shift.difference > 0 else '−'}{text}" if shift.difference else "0"


_PAGES: dict[str, Callable[[Desk, str, Query], tuple[str, dict[str, Any]]]] = {
    "": _trains,
    "amiss": _amiss,
    "explain": _explain,
    "figures": _figures,
    "try": _try,
    "drawings": _drawings,
    "manual": _manual,
    "text": _text,
}
