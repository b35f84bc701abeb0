"""The templates of our papers, and their code, which another process can make and hand over."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

from countwheel.emit.keeper_text import KeeperText, keeper_xml
from jinja2 import BytecodeCache, ChoiceLoader, Environment, PackageLoader, StrictUndefined
from jinja2.bccache import Bucket
from markupsafe import Markup


class _Code(BytecodeCache):
    """Code of templates made elsewhere, by what jinja2 calls each; it checks that each is of the same text."""

    def __init__(self) -> None:
        self.made: dict[str, bytes] = {}
        self.waiting: Callable[[], Mapping[str, bytes]] | None = None

    def load_bytecode(self, bucket: Bucket) -> None:
        if self.waiting is not None:
            waiting, self.waiting = self.waiting, None
            self.made |= waiting()
        if bucket.key in self.made:
            bucket.bytecode_from_string(self.made[bucket.key])

    def dump_bytecode(self, bucket: Bucket) -> None:
        self.made[bucket.key] = bucket.bytecode_to_string()


@cache
def _code() -> _Code:
    return _Code()


def compiled() -> Mapping[str, bytes]:
    """The code of every template. To make it takes a third of a second, longer than to fill the templates."""
    made = environment()
    for name in made.list_templates(extensions=["j2"]):
        made.get_template(name)
    return _code().made


def are_made() -> bool:
    """Whether this process has templates already, or waits for them."""
    return bool(_code().made or _code().waiting)


def take(waiting: Callable[[], Mapping[str, bytes]]) -> None:
    """What `compiled` gave in another process; it is waited for when the first template is wanted."""
    _code().waiting = waiting


@cache
def environment() -> Environment:
    """Templates with every value escaped; a name that is not there, or a missing value, is a fault."""
    folders = [PackageLoader("countwheel.emit", f"templates/{folder}") for folder in ("manual", "binder")]
    made = Environment(
        loader=ChoiceLoader(folders),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_never_none,
        trim_blocks=False,
        bytecode_cache=_code(),
    )
    made.globals["keeper"] = _keeper
    made.filters["first_capital"] = _first_capital
    return made


def _never_none(value: object) -> object:
    if value is None:
        raise ValueError("a template prints a value that is not there")
    return value


def _keeper(own: KeeperText) -> Markup:
    return Markup(keeper_xml(own))  # every character of it was escaped as it was made


def _first_capital(text: Any) -> Any:
    return text[:1].upper() + text[1:]


def wording(name: str) -> Any:
    """The words of a name that `_words.xml.j2` sets: titles, labels."""
    return getattr(environment().get_template("_words.xml.j2").module, name)
