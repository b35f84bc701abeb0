"""The templates of our papers, and the code that jinja2 makes of them, which is kept with them.

To make that code takes a third of a second, longer than to fill the templates; so it lies in `templates/made/`, a file
a template, and is taken where it was made of the very text that is there. A template that was changed since, or
another series of jinja2, is compiled from its text, and only slower.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from importlib.resources import files
from typing import Any

import jinja2
from countwheel.emit.clean import first_capital
from countwheel.emit.keeper_text import KeeperText, keeper_xml
from jinja2 import BytecodeCache, ChoiceLoader, Environment, PackageLoader, StrictUndefined
from jinja2.bccache import Bucket
from markupsafe import Markup

MADE = "templates/made"
_BY = "# made by jinja2 "


class _Kept(BytecodeCache):
    """The code that is kept with the templates, or what another process made of it; nothing is written."""

    def __init__(self) -> None:
        self.read: dict[str, bytes] = {}
        self.waiting: Callable[[], Mapping[str, bytes]] | None = None

    def get_cache_key(self, name: str, filename: str | None = None) -> str:
        return name

    def wait(self) -> None:
        if self.waiting is not None:
            waiting, self.waiting = self.waiting, None
            self.read |= waiting()

    def load_bytecode(self, bucket: Bucket) -> None:
        self.wait()
        if bucket.key in self.read:
            bucket.bytecode_from_string(self.read[bucket.key])
            return
        try:
            text = files("countwheel.emit").joinpath(f"{MADE}/{bucket.key}.code").read_text(encoding="utf-8")
        except OSError:
            return
        version, _, checksum = text.partition("\n")[0].removeprefix(_BY).partition(" of ")
        if checksum == bucket.checksum and _series(version) == _series(jinja2.__version__):
            bucket.code = compile(text, bucket.key, "exec")

    def dump_bytecode(self, bucket: Bucket) -> None: ...


@cache
def _kept() -> _Kept:
    return _Kept()


def read_all() -> Mapping[str, bytes]:
    """All the kept code as Python's own, which takes a twelfth of a second, for `take` in another process."""
    own = environment()
    assert own.loader is not None
    read = {}
    for name in own.list_templates(extensions=["j2"]):
        bucket = _kept().get_bucket(own, name, None, own.loader.get_source(own, name)[0])
        if bucket.code is not None:
            read[name] = bucket.bytecode_to_string()
    return read


def take(waiting: Callable[[], Mapping[str, bytes]]) -> None:
    """What `read_all` gives; it is waited for when the first template is wanted, or by `at_hand`."""
    _kept().waiting = waiting


def at_hand() -> None:
    """Waits for what `take` was promised: before copies of the program are begun that want templates too."""
    _kept().wait()


def _series(version: str) -> list[str]:
    return version.split(".")[:2]


def code_of(name: str) -> str:
    """The code of a template as it is kept: made anew of its text."""
    own = environment()
    assert own.loader is not None
    text, _, _ = own.loader.get_source(own, name)
    first = f"{_BY}{jinja2.__version__} of {_kept().get_source_checksum(text)}\n"
    return first + own.compile(text, name, name, raw=True)


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
        bytecode_cache=_kept(),
    )
    made.globals["keeper"] = _keeper
    made.filters["first_capital"] = first_capital
    return made


def _never_none(value: object) -> object:
    if value is None:
        raise ValueError("a template prints a value that is not there")
    return value


def _keeper(own: KeeperText) -> Markup:
    return Markup(keeper_xml(own))  # every character of it was escaped as it was made


def wording(name: str) -> Any:
    """The words of a name that `_words.xml.j2` sets: titles, labels."""
    return getattr(environment().get_template("_words.xml.j2").module, name)
