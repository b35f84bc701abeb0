"""Watching the files that a description was read from: says when one of them has another content.

It looks at them a few times a second, which every file system and every editor's way of saving allows. Only the files
that were read are looked at, so that what editors put beside them (backups, locks, swap files) goes unseen.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable

from countwheel.files import Folder

LOOK = 0.1  # seconds from one look to the next
QUIET = 0.05  # seconds that nothing may change before a burst of writing has ended
LONGEST = 2.0  # seconds after which a burst that does not end is read all the same

Marks = dict[str, tuple[int, int, int] | None]


class Watch:
    """Calls `changed` after a file was written anew. `names` gives those to look at, as seen from `folder`."""

    def __init__(
        self, folder: Folder, names: Callable[[], Iterable[str]], changed: Callable[[], None]
    ) -> None:
        self.folder, self.names, self.changed = folder, names, changed
        self._stop = threading.Event()
        self._marks: Marks = self._look()
        self._digests = self._read(self._marks)

    def run(self) -> None:
        """Looks until `stop` is called."""
        while not self._stop.wait(LOOK):
            self.look_once()

    def stop(self) -> None:
        self._stop.set()

    def look_once(self) -> bool:
        """One look; waits for the end of a burst where something changed. Whether `changed` was called."""
        seen = self._look()
        if seen == self._marks:
            return False
        waited = 0.0
        while waited < LONGEST:
            self._stop.wait(QUIET)
            waited += QUIET
            again = self._look()
            if again == seen:
                break
            seen = again
        before, self._marks = self._digests, seen
        self._digests = self._read(seen)
        if self._digests == before:
            return False  # touched, or saved as it was
        self.changed()
        # What is read now may be other files than before: those are taken as they were read.
        self._marks = self._look() | seen
        self._digests = self._read(self._marks) | self._digests
        for gone in set(self._marks) - set(self.names()):
            del self._marks[gone], self._digests[gone]
        return True

    def _look(self) -> Marks:
        return {name: self.folder.mark(name) for name in self.names()}

    def _read(self, names: Iterable[str]) -> dict[str, str | None]:
        return {name: self.folder.digest(name) for name in names}
