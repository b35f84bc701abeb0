"""The server: what the editor says goes to the desk, what it asks to the functions that know. Over standard streams.

One thread reads descriptions and answers; the loop only takes messages in and sends them out, so that a text that
changes meanwhile is seen, and what was found for an earlier one is dropped.
"""

from __future__ import annotations

import asyncio
import gc
import logging
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from importlib.metadata import version
from typing import BinaryIO, TypeVar

from countwheel.editor import completing, hints, hovering, mending, naming, outline, renaming, tokens
from countwheel.editor.analysis import Analysis
from countwheel.editor.desk import Desk, Work
from countwheel.editor.positions import Encoding
from countwheel.editor.wire import LEGEND, Wire, fold
from countwheel.source import Span
from lsprotocol import types as lsp
from pygls.capabilities import get_capability
from pygls.exceptions import JsonRpcException
from pygls.lsp.server import LanguageServer
from pygls.uris import from_fs_path, to_fs_path

QUIET = 0.12  # seconds without a change after which a text is looked at
REQUEST_FAILED = -32803  # LSP 3.17, "ErrorCodes"
T = TypeVar("T")
Ask = Callable[[Analysis, Wire, str], T]
log = logging.getLogger(__name__)


class Server(LanguageServer):
    """The language server and its state."""

    def __init__(self) -> None:
        # Whole texts: the library takes U+2028 and such for ends of rows, which the standard does not.
        super().__init__(
            "countwheel", version("countwheel"), text_document_sync_kind=lsp.TextDocumentSyncKind.Full
        )
        self.desk = Desk(to_fs_path)
        self.quiet = QUIET
        self._worker = ThreadPoolExecutor(max_workers=1, thread_name_prefix="description")
        self._timers: dict[str, asyncio.TimerHandle] = {}
        self._tasks: set[asyncio.Task[None]] = set()
        # What was found of each description, by URI; a file may belong to two.
        self._told: dict[str, dict[str, list[lsp.Diagnostic]]] = {}

    # -- asking --------------------------------------------------------------
    async def ask(self, uri: str, answer: Ask[T]) -> T | None:
        """What `answer` says of an open text as it is now; None where it is not known. Never raises but to refuse."""
        if uri not in self.desk.documents:
            return None
        main = self.desk.main_of(uri)
        work, file = self.desk.work(main), self.desk.file_of(uri, main)

        def run() -> T | None:
            try:
                analysis = self.desk.analysis(work)
                wire = self._wire(analysis, main)
                return answer(analysis, wire, file) if file in analysis.sources else None
            except JsonRpcException:
                raise
            except Exception:
                log.exception("no answer for %s", uri)
                return None

        return await asyncio.get_running_loop().run_in_executor(self._worker, run)

    def _wire(self, analysis: Analysis, main: str) -> Wire:
        documents = {file: self.desk.document_of(file, main) for file in analysis.sources}

        def uri_of(file: str) -> str:
            document = documents.get(file)
            return document.uri if document is not None else str(from_fs_path(file))

        def newline_of(file: str) -> str:
            document = documents.get(file)
            return document.newline if document is not None else "\n"

        def version_of(file: str) -> int | None:
            document = documents.get(file)
            return document.version if document is not None else None

        return Wire(self.encoding, analysis.sources, uri_of, newline_of, version_of)

    @property
    def encoding(self) -> Encoding:
        chosen = str(getattr(self.workspace.position_encoding, "value", self.workspace.position_encoding))
        return chosen if chosen in ("utf-8", "utf-32") else "utf-16"  # type: ignore[return-value]

    def can(self, field: str) -> bool:
        """Whether the editor says that it can do something."""
        return bool(get_capability(self.client_capabilities, field, False))

    # -- telling ---------------------------------------------------------------
    def look(self, uri: str, *, at_once: bool = False) -> None:
        """Sees to it that a text's description is looked at, once it has been quiet for a while."""
        main = self.desk.main_of(uri)
        self._forget_unused()
        timer = self._timers.pop(main, None)
        if timer is not None:
            timer.cancel()
        delay = 0.0 if at_once else self.quiet
        self._timers[main] = asyncio.get_running_loop().call_later(delay, self._begin, main)

    def _begin(self, main: str) -> None:
        self._timers.pop(main, None)
        task = asyncio.get_running_loop().create_task(self._tell(main))
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    async def _tell(self, main: str) -> None:
        """Publishes what is amiss with a description, unless it has changed in the meantime."""
        work = self.desk.work(main)
        found = await asyncio.get_running_loop().run_in_executor(self._worker, self._find, work)
        if found is None or main not in self.desk.mains() or self.desk.work(main).key != work.key:
            return
        before = self._told.get(main, {})
        self._told[main] = found
        for uri in {**before, **found}:
            self._publish(uri)
        if len(self.desk.documents) > 1 and self.can("workspace.inlay_hint.refresh_support"):
            self.workspace_inlay_hint_refresh(None)

    def _find(self, work: Work) -> dict[str, list[lsp.Diagnostic]] | None:
        """What is amiss, by URI, with an empty list for a file that has nothing; None where it could not be told."""
        try:
            analysis = self.desk.analysis(work)
            wire = self._wire(analysis, work.main)
            related = self.can("text_document.publish_diagnostics.related_information")
            found: dict[str, list[lsp.Diagnostic]] = {wire.uri_of(file): [] for file in analysis.sources}
            for one in analysis.result.diagnostics:
                found.setdefault(wire.uri_of(one.span.file), []).append(wire.diagnostic(one, related))
            return found
        except Exception:
            log.exception("%s could not be looked at", work.main)
            return None

    def _publish(self, uri: str) -> None:
        several = [found[uri] for found in self._told.values() if uri in found]
        found: list[lsp.Diagnostic] = []
        for one in (one for some in several for one in some):
            if one not in found:
                found.append(one)
        document = self.desk.documents.get(uri)
        self.text_document_publish_diagnostics(
            lsp.PublishDiagnosticsParams(uri, found, document.version if document is not None else None)
        )

    def _forget_unused(self) -> None:
        """Takes back what was told of descriptions of which nothing is open any more."""
        mains = self.desk.mains()
        for main in [main for main in self._told if main not in mains]:
            gone = self._told.pop(main)
            self.desk.forget(main)
            for uri in gone:
                self._publish(uri)

    def close(self, uri: str) -> None:
        main = self.desk.main_of(uri) if uri in self.desk.documents else None
        self.desk.drop(uri)
        self._forget_unused()
        for other in self.desk.documents:
            if self.desk.main_of(other) == main:
                self.look(other)
                break

    def look_at_all(self) -> None:
        for uri in {self.desk.main_of(uri): uri for uri in self.desk.documents}.values():
            self.look(uri)


server = Server()


# -- what the editor says ------------------------------------------------------------


@server.feature(lsp.INITIALIZE)
def initialize(ls: Server, params: lsp.InitializeParams) -> None:
    options = params.initialization_options
    given = options.get("quiet") if isinstance(options, dict) else getattr(options, "quiet", None)
    if isinstance(given, (int, float)) and 0 <= given <= 10_000:
        ls.quiet = given / 1000


@server.feature(lsp.INITIALIZED)
def initialized(ls: Server, params: lsp.InitializedParams) -> None:
    if ls.can("workspace.did_change_watched_files.dynamic_registration"):
        options = lsp.DidChangeWatchedFilesRegistrationOptions([lsp.FileSystemWatcher("**/*.movement")])
        ls.client_register_capability(
            lsp.RegistrationParams(
                [lsp.Registration("descriptions", lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES, options)]
            )
        )


@server.feature(lsp.TEXT_DOCUMENT_DID_OPEN)
def did_open(ls: Server, params: lsp.DidOpenTextDocumentParams) -> None:
    document = params.text_document
    ls.desk.put(document.uri, document.version, document.text)
    ls.look(document.uri, at_once=True)


@server.feature(lsp.TEXT_DOCUMENT_DID_CHANGE)
def did_change(ls: Server, params: lsp.DidChangeTextDocumentParams) -> None:
    uri = params.text_document.uri
    ls.desk.put(uri, params.text_document.version, ls.workspace.get_text_document(uri).source)
    ls.look(uri)


@server.feature(lsp.TEXT_DOCUMENT_DID_SAVE)
def did_save(ls: Server, params: lsp.DidSaveTextDocumentParams) -> None:
    ls.desk.changed_outside()
    if params.text_document.uri in ls.desk.documents:
        ls.look(params.text_document.uri, at_once=True)


@server.feature(lsp.TEXT_DOCUMENT_DID_CLOSE)
def did_close(ls: Server, params: lsp.DidCloseTextDocumentParams) -> None:
    ls.close(params.text_document.uri)


@server.feature(lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES)
def did_change_watched_files(ls: Server, params: lsp.DidChangeWatchedFilesParams) -> None:
    ls.desk.changed_outside()
    ls.look_at_all()


# -- what the editor asks ------------------------------------------------------------


@server.feature(lsp.TEXT_DOCUMENT_COMPLETION, lsp.CompletionOptions(trigger_characters=[" ", "."]))
async def completion(ls: Server, params: lsp.CompletionParams) -> lsp.CompletionList | None:
    def answer(analysis: Analysis, wire: Wire, file: str) -> lsp.CompletionList:
        found = completing.offers(analysis, file, wire.offset(file, params.position))
        # What is offered goes by what is typed (second names of words, say), so an editor must ask again.
        return lsp.CompletionList(True, [wire.completion(file, one, at) for at, one in enumerate(found)])

    return await ls.ask(params.text_document.uri, answer)


@server.feature(lsp.TEXT_DOCUMENT_HOVER)
async def hover(ls: Server, params: lsp.HoverParams) -> lsp.Hover | None:
    def answer(analysis: Analysis, wire: Wire, file: str) -> lsp.Hover | None:
        found = hovering.hover(analysis, file, wire.offset(file, params.position))
        return wire.hover(found) if found is not None else None

    return await ls.ask(params.text_document.uri, answer)


@server.feature(lsp.TEXT_DOCUMENT_DEFINITION)
async def definition(ls: Server, params: lsp.DefinitionParams) -> lsp.Location | None:
    def answer(analysis: Analysis, wire: Wire, file: str) -> lsp.Location | None:
        at = wire.offset(file, params.position)
        included = naming.included_file(analysis, file, at)
        if included is not None:
            return wire.location(Span(included, 0, 0))
        place = naming.place_at(analysis, file, at)
        return wire.location(naming.declaration(analysis, place.fact)) if place is not None else None

    return await ls.ask(params.text_document.uri, answer)


@server.feature(lsp.TEXT_DOCUMENT_REFERENCES)
async def references(ls: Server, params: lsp.ReferenceParams) -> list[lsp.Location] | None:
    def answer(analysis: Analysis, wire: Wire, file: str) -> list[lsp.Location] | None:
        place = naming.place_at(analysis, file, wire.offset(file, params.position))
        if place is None:
            return None
        with_own = params.context.include_declaration
        return [
            wire.location(one.span) for one in naming.same(analysis, place.fact) if with_own or not one.given
        ]

    return await ls.ask(params.text_document.uri, answer)


@server.feature(lsp.TEXT_DOCUMENT_DOCUMENT_HIGHLIGHT)
async def highlight(ls: Server, params: lsp.DocumentHighlightParams) -> list[lsp.DocumentHighlight] | None:
    def answer(analysis: Analysis, wire: Wire, file: str) -> list[lsp.DocumentHighlight] | None:
        place = naming.place_at(analysis, file, wire.offset(file, params.position))
        if place is None:
            return None
        kinds = {True: lsp.DocumentHighlightKind.Write, False: lsp.DocumentHighlightKind.Read}
        return [
            lsp.DocumentHighlight(wire.range(one.span), kinds[one.given])
            for one in naming.same(analysis, place.fact)
            if one.span.file == file
        ]

    return await ls.ask(params.text_document.uri, answer)


@server.feature(lsp.TEXT_DOCUMENT_PREPARE_RENAME)
async def prepare_rename(ls: Server, params: lsp.PrepareRenameParams) -> lsp.PrepareRenamePlaceholder | None:
    def answer(analysis: Analysis, wire: Wire, file: str) -> lsp.PrepareRenamePlaceholder | None:
        place = renaming.renameable(analysis, file, wire.offset(file, params.position))
        if place is None:
            return None
        return lsp.PrepareRenamePlaceholder(wire.range(place.span), place.fact.node.label or "")

    return await ls.ask(params.text_document.uri, answer)


@server.feature(lsp.TEXT_DOCUMENT_RENAME)
async def rename(ls: Server, params: lsp.RenameParams) -> lsp.WorkspaceEdit | None:
    versioned = ls.can("workspace.workspace_edit.document_changes")

    def answer(analysis: Analysis, wire: Wire, file: str) -> lsp.WorkspaceEdit:
        made = renaming.rename(analysis, file, wire.offset(file, params.position), params.new_name)
        if made.why_not:
            raise JsonRpcException(made.why_not, code=REQUEST_FAILED)
        return wire.workspace_edit(made.edits, versioned)

    return await ls.ask(params.text_document.uri, answer)


@server.feature(lsp.TEXT_DOCUMENT_DOCUMENT_SYMBOL)
async def symbols(ls: Server, params: lsp.DocumentSymbolParams) -> list[lsp.DocumentSymbol] | None:
    def answer(analysis: Analysis, wire: Wire, file: str) -> list[lsp.DocumentSymbol]:
        return [wire.symbol(one) for one in outline.symbols(analysis, file)]

    return await ls.ask(params.text_document.uri, answer)


@server.feature(lsp.TEXT_DOCUMENT_FOLDING_RANGE)
async def folding(ls: Server, params: lsp.FoldingRangeParams) -> list[lsp.FoldingRange] | None:
    def answer(analysis: Analysis, wire: Wire, file: str) -> list[lsp.FoldingRange]:
        return [fold(one) for one in outline.folds(analysis, file)]

    return await ls.ask(params.text_document.uri, answer)


@server.feature(lsp.TEXT_DOCUMENT_FORMATTING)
async def formatting(ls: Server, params: lsp.DocumentFormattingParams) -> list[lsp.TextEdit] | None:
    def answer(analysis: Analysis, wire: Wire, file: str) -> list[lsp.TextEdit]:
        return [wire.text_edit(edit) for edit in mending.canonical(analysis.sources[file])]

    return await ls.ask(params.text_document.uri, answer)


@server.feature(
    lsp.TEXT_DOCUMENT_CODE_ACTION, lsp.CodeActionOptions(code_action_kinds=[lsp.CodeActionKind.QuickFix])
)
async def code_action(ls: Server, params: lsp.CodeActionParams) -> list[lsp.CodeAction] | None:
    only = params.context.only
    if only is not None and not any(
        kind in ("", lsp.CodeActionKind.QuickFix) or str(kind).startswith("quickfix") for kind in only
    ):
        return []
    versioned = ls.can("workspace.workspace_edit.document_changes")
    related = ls.can("text_document.publish_diagnostics.related_information")

    def answer(analysis: Analysis, wire: Wire, file: str) -> list[lsp.CodeAction]:
        start, end = wire.offset(file, params.range.start), wire.offset(file, params.range.end)
        found = mending.mends(analysis, file, start, end)
        return [wire.code_action(mend, versioned, related) for mend in found]

    return await ls.ask(params.text_document.uri, answer)


@server.feature(lsp.TEXT_DOCUMENT_INLAY_HINT)
async def inlay_hint(ls: Server, params: lsp.InlayHintParams) -> list[lsp.InlayHint] | None:
    def answer(analysis: Analysis, wire: Wire, file: str) -> list[lsp.InlayHint]:
        start, end = wire.offset(file, params.range.start), wire.offset(file, params.range.end)
        return [wire.hint(file, one) for one in hints.hints(analysis, file, start, end)]

    return await ls.ask(params.text_document.uri, answer)


@server.feature(lsp.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL, LEGEND)
async def semantic_tokens(ls: Server, params: lsp.SemanticTokensParams) -> lsp.SemanticTokens | None:
    def answer(analysis: Analysis, wire: Wire, file: str) -> lsp.SemanticTokens:
        return wire.tokens(file, tokens.tokens(analysis, file))

    return await ls.ask(params.text_document.uri, answer)


def serve(read: BinaryIO, write: BinaryIO) -> None:
    """Answers an editor on two streams until it says `exit` or goes away."""
    # What is loaded by now stays until the end: to look through it for garbage costs as much as a description.
    gc.freeze()
    server.start_io(read, write)
