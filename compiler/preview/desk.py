"""What lies on the desk: the description as it was last read, the last version that pages can be made of, the pages.

One thread reads it anew, others hand out pages: whatever takes long is done under one lock, once a version.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Mapping
from pathlib import PurePath
from typing import TYPE_CHECKING, Any, TypeVar

from countwheel import api
from countwheel.api import Result
from countwheel.diagnostics.record import Diagnostic

if TYPE_CHECKING:
    from countwheel.emit.document import Document
    from countwheel.emit.drawing import Drawing
    from countwheel.preview.train_drawing import Drawn
    from countwheel.preview.trying import Tried

T = TypeVar("T")
#: The first figure of the codes of faults that leave something unread: with these the last good pages stay.
UNREAD = frozenset("01234")


class Desk:
    """One description while it is served. `version` goes up by one whenever it was read with something new in it.

    Whoever makes a page holds `work` meanwhile, so that all of it is of one version.
    """

    def __init__(self, file: str) -> None:
        self.file = file
        self.version = 1
        self.now: Result = api.compile_file(file)
        self._good: Result | None = self.now if is_whole(self.now) else None
        self._changed = threading.Condition()
        self.work = threading.RLock()
        self._made: dict[str, Any] = {}
        self._ended = False

    # -- reading ---------------------------------------------------------------------
    def read(self) -> None:
        """Reads the files anew and tells whoever waits."""
        result = api.compile_file(self.file)
        with self.work, self._changed:
            self.now = result
            if is_whole(result) or self._good is None:
                self._good = result if is_whole(result) else None
                self._made.clear()
            self.version += 1
            self._changed.notify_all()

    def wait(self, version: int, seconds: float) -> int:
        """The version as soon as it is another than `version`, or after so many seconds, or at the end."""
        with self._changed:
            self._changed.wait_for(lambda: self.version != version or self._ended, seconds)
            return self.version

    def end(self) -> None:
        with self._changed:
            self._ended = True
            self._changed.notify_all()

    @property
    def ended(self) -> bool:
        return self._ended

    def watched(self) -> list[str]:
        """The files that the pages hang on, as seen from the description's folder: those read, and the photographs."""
        names = dict.fromkeys((PurePath(self.file).name,))
        for result in (self._good, self.now):
            if result is not None:
                names |= dict.fromkeys(result.read_set)
                nodes = result.clock.root.all("photo") if result.clock else ()
                names |= dict.fromkeys(name for node in nodes if (name := node.text(part="file")))
        return list(names)

    # -- what is shown -----------------------------------------------------------------
    @property
    def shown(self) -> Result:
        """What the pages are made of: the last version that could be read whole, else what could be read."""
        return self._good or self.now

    @property
    def stale(self) -> bool:
        """Whether the pages are of an earlier version than the files."""
        return self._good is not None and self._good is not self.now

    @property
    def diagnostics(self) -> tuple[Diagnostic, ...]:
        return self.now.diagnostics

    # -- made once a version --------------------------------------------------------------
    def _once(self, name: str, make: Callable[[], T]) -> T:
        with self.work:
            if name not in self._made:
                self._made[name] = make()
            made: T = self._made[name]
            return made

    def trains(self) -> tuple[Drawn, ...]:
        from countwheel.preview.train_drawing import draw_turning

        clock, figures = self.shown.clock, self.shown.figures
        return self._once("trains", lambda: draw_turning(clock, figures) if clock else ())

    def drawings(self) -> tuple[Drawing, ...]:
        from countwheel import outputs

        return self._once("drawings", lambda: outputs.drawings(self.shown))

    def manual(self) -> Document:
        from countwheel import api, outputs

        return self._once("manual", lambda: outputs.manual(self.shown, self.drawings(), api.gaps(self.shown)))

    def sheets(self) -> Document:
        from countwheel import outputs

        return self._once("sheets", lambda: outputs.sheets(self.shown))

    def chapters(self, name: str, page: Callable[[str], str]) -> Mapping[str, str]:
        """The chapters of the manual or the sheets as HTML, by their ids."""
        from countwheel.emit.html import print_chapters

        document = {"manual": self.manual, "figures": self.sheets}[name]
        return self._once(f"{name} chapters", lambda: print_chapters(document(), page))

    def tried(self, wanted: Iterable[tuple[str, float]]) -> Tried:
        """What comes of other values. One at a time, and the last one is kept."""
        from countwheel.preview.trying import try_values

        values = tuple(wanted)
        with self.work:
            kept = self._made.get("tried")
            if kept is None or kept[0] != values:
                kept = self._made["tried"] = (values, try_values(self.shown, dict(values)))
            found: Tried = kept[1]
            return found


def is_whole(result: Result) -> bool:
    """Whether all of a description could be read; that something in it does not agree is no hindrance."""
    return result.clock is not None and not any(
        one.severity == "error" and one.code[1] in UNREAD for one in result.diagnostics
    )
