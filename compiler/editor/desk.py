"""What an editor has open, and the descriptions that belong to it; analysed when asked for, and kept."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from countwheel import api, files
from countwheel.editor.analysis import Analysis
from countwheel.editor.projects import description_of, names_in
from countwheel.files import Folder, Trouble

NAMELESS = "description.movement"  # what a text that is in no file is called


class Document(NamedTuple):
    """A text that is open. `path` is None where it is in no file, `resolved` the same with its links followed.

    `revision` tells one text from every other; `newline` is its own line end, and `text` has none but `\n`.
    """

    uri: str
    path: Path | None
    resolved: Path | None
    version: int | None
    revision: int
    text: str
    newline: str


class Work(NamedTuple):
    """One description as it is to be read: its main file, and the texts that are open, as they are now."""

    main: str
    alone: str | None  # the text of a description that is in no file
    unsaved: dict[Path, str]
    key: tuple[object, ...]


class Desk:
    """The open texts. Not to be used from several threads, but for `analysis` in one thread of its own."""

    def __init__(self, path_of: Callable[[str], str | None]) -> None:
        """`path_of` gives the path of a URI, None for what is no file."""
        self._path_of = path_of
        self.documents: dict[str, Document] = {}
        self._mains: dict[str, str] = {}
        self._revision = 0
        self._epoch = 0  # counts what happened to the files on the disk
        self._kept: dict[str, tuple[tuple[object, ...], Analysis]] = {}

    # -- what is open ------------------------------------------------------
    def put(self, uri: str, version: int | None, text: str) -> None:
        """A text was opened or changed."""
        before = self.documents.get(uri)
        name = self._path_of(uri)
        self._revision += 1
        newline = "\r\n" if "\r\n" in text else "\n"
        path = Path(name) if name else None
        made = Document(uri, path, _resolved(path), version, self._revision, files.plain_ends(text), newline)
        self.documents[uri] = made
        if before is None or names_in(before.text) != names_in(made.text):
            self._mains.clear()

    def drop(self, uri: str) -> None:
        self.documents.pop(uri, None)
        self.changed_outside()

    def changed_outside(self) -> None:
        """Files on the disk may have changed."""
        self._epoch += 1
        self._mains.clear()

    # -- descriptions --------------------------------------------------------
    def main_of(self, uri: str) -> str:
        """The main file of the description that an open text belongs to; the URI of a text that is in no file."""
        document = self.documents[uri]
        if document.path is None:
            return uri
        if uri not in self._mains:
            try:
                self._mains[uri] = str(description_of(document.path, self._unsaved()))
            except (OSError, RuntimeError, ValueError):
                self._mains[uri] = str(document.path)
        return self._mains[uri]

    def mains(self) -> set[str]:
        """Every description that something open belongs to."""
        return {self.main_of(uri) for uri in self.documents}

    def work(self, main: str) -> Work:
        """What is to be read for a description, as things stand; equal keys give equal results."""
        if main in self.documents and self.documents[main].path is None:
            document = self.documents[main]
            return Work(main, document.text, {}, (document.revision,))
        home = Path(main).parent.resolve()
        inside = {path: text for path, text in self._unsaved().items() if path.is_relative_to(home)}
        revisions = sorted(one.revision for one in self.documents.values() if one.resolved in inside)
        return Work(main, None, inside, (self._epoch, *revisions))

    def _unsaved(self) -> dict[Path, str]:
        return {
            document.resolved: document.text
            for document in self.documents.values()
            if document.resolved is not None
        }

    def analysis(self, work: Work) -> Analysis:
        """The analysis of a description: the one that is kept, where nothing has changed since."""
        kept = self._kept.get(work.main)
        if kept is not None and kept[0] == work.key:
            return kept[1]
        made = Analysis(_read(work))
        self._kept[work.main] = (work.key, made)
        return made

    def forget(self, main: str) -> None:
        self._kept.pop(main, None)

    # -- names ---------------------------------------------------------------
    def file_of(self, uri: str, main: str) -> str:
        """How the sources of a description call an open text."""
        document = self.documents[uri]
        if document.resolved is None:
            return NAMELESS
        home = Path(main).parent.resolve()
        if not document.resolved.is_relative_to(home):
            return main
        inner = document.resolved.relative_to(home).as_posix()
        return f"{main[: len(main) - len(Path(main).name)]}{inner}"

    def document_of(self, file: str, main: str) -> Document | None:
        """The open text that a source of a description is; None where that is read from the disk."""
        if file == NAMELESS:
            return self.documents.get(main)
        resolved = _resolved(Path(file))
        return next((one for one in self.documents.values() if one.resolved == resolved), None)


def _resolved(path: Path | None) -> Path | None:
    try:
        return path.resolve() if path is not None else None
    except (OSError, RuntimeError, ValueError):
        return path


def _read(work: Work) -> api.Reading:
    if work.alone is not None:
        return api.read_text(work.alone, NAMELESS)
    path = Path(work.main)
    folder = Folder(path.parent, work.unsaved)
    try:
        text = folder.text(path.name)
    except Trouble:
        text = ""  # it was closed and is not there any more
    return api.read_text(text, work.main, folder.text, folder.has)
