"""The language server over a real pipe, through every request that it answers."""

from __future__ import annotations

import sys
from collections.abc import AsyncIterator
from pathlib import Path

import pytest
import pytest_lsp
from editing import MAIN, NAMES, STRIKE
from lsprotocol import types as lsp
from pygls.exceptions import JsonRpcException
from pytest_lsp import ClientServerConfig, LanguageClient, client_capabilities

SERVER = [sys.executable, "-m", "countwheel.cli", "language-server", "--stdio"]
QUIET = {"quiet": 10}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name, text in NAMES.items():
        path = tmp_path / "clock" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return tmp_path / "clock"


@pytest_lsp.fixture(config=ClientServerConfig(server_command=SERVER))
async def client(lsp_client: LanguageClient) -> AsyncIterator[None]:
    for asked in (lsp.CLIENT_REGISTER_CAPABILITY, lsp.WORKSPACE_INLAY_HINT_REFRESH):

        @lsp_client.feature(asked)
        def agreed(client: LanguageClient, params: object) -> None:
            """What an editor answers to both."""

    await lsp_client.initialize_session(
        lsp.InitializeParams(client_capabilities("visual-studio-code"), initialization_options=QUIET)
    )
    yield
    await lsp_client.shutdown_session()


def place(text: str, words: str, on: int = 1) -> lsp.Position:
    """Where some words stand, in UTF-16 units."""
    before = text[: text.index(words) + on]
    return lsp.Position(before.count("\n"), len(before.rpartition("\n")[2].encode("utf-16-le")) // 2)


class Open:
    """One file that is open, and the requests about it."""

    def __init__(self, client: LanguageClient, path: Path, text: str) -> None:
        self.client, self.uri, self.text, self.version = client, path.as_uri(), text, 1
        item = lsp.TextDocumentItem(self.uri, "countwheel", 1, text)
        client.text_document_did_open(lsp.DidOpenTextDocumentParams(item))
        self.document = lsp.TextDocumentIdentifier(self.uri)

    def change(self, text: str) -> None:
        self.version += 1
        self.text = text
        whole = lsp.TextDocumentContentChangeWholeDocument(text)
        now = lsp.VersionedTextDocumentIdentifier(self.version, self.uri)
        self.client.text_document_did_change(lsp.DidChangeTextDocumentParams(now, [whole]))

    async def codes(self, uri: str = "") -> list[str]:
        """The codes of a file's diagnostics (this one's) when they are next told of this one's version."""
        while self.client_version != self.version:
            await self.client.wait_for_notification(lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
        return [str(one.code) for one in self.client.diagnostics.get(uri or self.uri, ())]

    @property
    def client_version(self) -> int | None:
        told = [
            one.version
            for one in self.client.log_of_diagnostics  # type: ignore[attr-defined]
            if one.uri == self.uri
        ]
        return told[-1] if told else None


@pytest.fixture
def opened(client: LanguageClient, folder: Path) -> Open:
    told: list[lsp.PublishDiagnosticsParams] = []
    client.log_of_diagnostics = told  # type: ignore[attr-defined]
    before = client.protocol.fm.features[lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS]

    def keep(params: lsp.PublishDiagnosticsParams) -> None:
        before(params)
        told.append(params)

    client.protocol.fm.features[lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS] = keep
    return Open(client, folder / "main.movement", MAIN)


@pytest.mark.asyncio
async def test_diagnostics_follow_the_text_and_are_cleared(opened: Open) -> None:
    before = await opened.codes()
    opened.change(MAIN.replace("  mass 3 cwt", "  mas 3 cwt"))
    assert set(await opened.codes()) - set(before) == {"M201"}
    (one,) = [one for one in opened.client.diagnostics[opened.uri] if one.code == "M201"]
    assert one.severity == lsp.DiagnosticSeverity.Error
    assert one.range.start == place(opened.text, "mas 3", 0)
    assert one.code_description is not None
    assert one.code_description.href.endswith("/M201.md")
    opened.change(MAIN)
    assert await opened.codes() == before


@pytest.mark.asyncio
async def test_the_description_is_found_from_an_included_file_and_buffers_count_first(
    client: LanguageClient, opened: Open, folder: Path
) -> None:
    inner = folder / "trains" / "strike.movement"
    await opened.codes()
    opened.change(MAIN.replace('bell "hour"', 'bell "great"'))  # not saved
    await opened.codes()
    while "M406" not in [str(one.code) for one in client.diagnostics.get(inner.as_uri(), ())]:
        await client.wait_for_notification(lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
    strike = Open(client, inner, STRIKE.replace('"hour"', '"great"'))
    assert "M406" not in await strike.codes()
    where = await client.text_document_definition_async(
        lsp.DefinitionParams(strike.document, place(strike.text, '"great"', 2))
    )
    assert isinstance(where, lsp.Location)
    assert (where.uri, where.range.start) == (opened.uri, place(opened.text, '"great"', 0))


@pytest.mark.asyncio
async def test_an_included_file_alone_brings_its_description(client: LanguageClient, folder: Path) -> None:
    strike = lsp.TextDocumentIdentifier((folder / "trains" / "strike.movement").as_uri())
    item = lsp.TextDocumentItem(strike.uri, "countwheel", 1, STRIKE)
    client.text_document_did_open(lsp.DidOpenTextDocumentParams(item))
    where = await client.text_document_definition_async(
        lsp.DefinitionParams(strike, place(STRIKE, "going.centre", 8))
    )
    assert isinstance(where, lsp.Location)
    assert where.uri == (folder / "main.movement").as_uri()


@pytest.mark.asyncio
async def test_every_request_is_answered(client: LanguageClient, opened: Open) -> None:
    text, document = opened.text, opened.document
    centre = place(text, "arbor centre", 8)
    shown = await client.text_document_hover_async(lsp.HoverParams(document, centre))
    assert shown is not None
    assert "1 turn/h" in shown.contents.value  # type: ignore[union-attr]
    uses = await client.text_document_references_async(
        lsp.ReferenceParams(lsp.ReferenceContext(True), document, centre)
    )
    assert uses is not None
    assert len({use.uri for use in uses}) == 2
    lit = await client.text_document_document_highlight_async(lsp.DocumentHighlightParams(document, centre))
    assert lit is not None
    assert len(lit) == 2
    ready = await client.text_document_prepare_rename_async(lsp.PrepareRenameParams(document, centre))
    assert isinstance(ready, lsp.PrepareRenamePlaceholder)
    assert ready.placeholder == "centre"
    made = await client.text_document_rename_async(lsp.RenameParams(document, centre, "middle"))
    assert made is not None
    assert len(made.document_changes or made.changes or ()) == 2
    with pytest.raises(JsonRpcException, match="already arbor escape"):
        await client.text_document_rename_async(lsp.RenameParams(document, centre, "escape"))
    outline = await client.text_document_document_symbol_async(lsp.DocumentSymbolParams(document))
    assert outline is not None
    assert "train going" in [one.name for one in outline]
    folds = await client.text_document_folding_range_async(lsp.FoldingRangeParams(document))
    assert folds
    whole = lsp.Range(lsp.Position(0, 0), lsp.Position(99, 0))
    hints = await client.text_document_inlay_hint_async(lsp.InlayHintParams(document, whole))
    assert hints is not None
    assert "ratio 12" in [hint.label for hint in hints]
    coloured = await client.text_document_semantic_tokens_full_async(lsp.SemanticTokensParams(document))
    assert coloured is not None
    assert len(coloured.data) % 5 == 0 < len(coloured.data)
    options = lsp.FormattingOptions(2, True)
    edits = await client.text_document_formatting_async(lsp.DocumentFormattingParams(document, options))
    assert edits


@pytest.mark.asyncio
async def test_a_mend_comes_as_a_code_action(client: LanguageClient, opened: Open) -> None:
    opened.change(MAIN.replace("  mass 3 cwt", "  mas 3 cwt"))
    at = place(opened.text, "mas 3")
    actions = await client.text_document_code_action_async(
        lsp.CodeActionParams(opened.document, lsp.Range(at, at), lsp.CodeActionContext([]))
    )
    assert actions is not None
    assert [action.title for action in actions] == ["Write mass"]


@pytest.mark.asyncio
async def test_completion_behind_an_emoji_and_line_ends_of_another_system(
    client: LanguageClient, opened: Open
) -> None:
    text = MAIN.replace("\n", "\r\n").replace("  mass 3 cwt", '  mass 3 cwt\r\n  remark "🕰 n̈"  # 🕰\r\n  hu')
    opened.change(text)
    end = place(text, "  hu", 4)
    found = await client.text_document_completion_async(lsp.CompletionParams(opened.document, end))
    assert isinstance(found, lsp.CompletionList)
    assert [item.label for item in found.items] == ["hung"]
    (edit,) = [item.text_edit for item in found.items]
    assert isinstance(edit, lsp.TextEdit)
    assert edit.range == lsp.Range(place(text, "  hu", 2), end)
    named = place(text, "Quarry Lane 🕰 clock", len("Quarry Lane 🕰"))
    shown = await client.text_document_hover_async(lsp.HoverParams(opened.document, named))
    assert shown is not None
    assert shown.range is not None


@pytest.mark.asyncio
async def test_a_hopeless_text_does_not_end_it(client: LanguageClient, opened: Open) -> None:
    opened.change('"""\x00\t\u2028 train\n\tarbor "')
    assert await opened.codes()
    await client.text_document_hover_async(lsp.HoverParams(opened.document, lsp.Position(0, 1)))
    opened.change(MAIN)
    assert "M104" not in await opened.codes()


@pytest.mark.asyncio
async def test_what_was_said_of_a_file_that_is_included_no_more_is_taken_back(
    client: LanguageClient, opened: Open, folder: Path
) -> None:
    inner = (folder / "trains" / "strike.movement").as_uri()
    opened.change(MAIN.replace('bell "hour"', 'bell "great"'))
    while "M406" not in [str(one.code) for one in client.diagnostics.get(inner, ())]:
        await client.wait_for_notification(lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
    opened.change(MAIN.replace("include", "# include"))
    while client.diagnostics[inner]:
        await client.wait_for_notification(lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
    client.text_document_did_close(lsp.DidCloseTextDocumentParams(opened.document))
    while client.diagnostics[opened.uri]:
        await client.wait_for_notification(lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
