"""Spans, diagnostics and answers as the protocol has them (Language Server Protocol 3.17)."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from importlib.resources import files
from typing import NamedTuple

from countwheel.diagnostics.record import Diagnostic, Edit, Severity
from countwheel.editor.completing import Offer
from countwheel.editor.hints import Hint
from countwheel.editor.hovering import Hover
from countwheel.editor.mending import Mend
from countwheel.editor.outline import Fold, Symbol
from countwheel.editor.positions import Encoding, offset, position, width
from countwheel.editor.tokens import KINDS, MODIFIERS, Token
from countwheel.emit.clean import first_capital
from countwheel.source import Source, Span
from lsprotocol import types as lsp

# The same as the levels of SARIF, where a doubt is a warning and advice a note.
_SEVERITIES: dict[Severity, lsp.DiagnosticSeverity] = {
    "error": lsp.DiagnosticSeverity.Error,
    "doubt": lsp.DiagnosticSeverity.Warning,
    "advice": lsp.DiagnosticSeverity.Information,
}
_COMPLETIONS = {
    "word": lsp.CompletionItemKind.Property,
    "part": lsp.CompletionItemKind.Class,
    "choice": lsp.CompletionItemKind.EnumMember,
    "unit": lsp.CompletionItemKind.Unit,
    "evidence": lsp.CompletionItemKind.Keyword,
    "name": lsp.CompletionItemKind.Variable,
    "path": lsp.CompletionItemKind.Reference,
    "figure": lsp.CompletionItemKind.Value,
    "literal": lsp.CompletionItemKind.Keyword,
}
_SYMBOLS = {"part": lsp.SymbolKind.Class, "fact": lsp.SymbolKind.Property}
LEGEND = lsp.SemanticTokensLegend(token_types=list(KINDS), token_modifiers=list(MODIFIERS))


class Wire(NamedTuple):
    """How one description is told to one editor: its texts, their URIs, line ends and versions, the unit of columns."""

    encoding: Encoding
    sources: dict[str, Source]
    uri_of: Callable[[str], str]
    newline_of: Callable[[str], str]
    version_of: Callable[[str], int | None]

    # -- places ------------------------------------------------------------
    def place(self, file: str, at: int) -> lsp.Position:
        return lsp.Position(*position(self.sources[file], at, self.encoding))

    def range(self, span: Span) -> lsp.Range:
        """A span; one that lies in no text of the description is its file's beginning."""
        if span.file not in self.sources:
            return lsp.Range(lsp.Position(0, 0), lsp.Position(0, 0))
        return lsp.Range(self.place(span.file, span.start), self.place(span.file, max(span.start, span.end)))

    def offset(self, file: str, at: lsp.Position) -> int:
        return offset(self.sources[file], at.line, at.character, self.encoding)

    def location(self, span: Span) -> lsp.Location:
        return lsp.Location(self.uri_of(span.file), self.range(span))

    # -- diagnostics and mends ---------------------------------------------
    def diagnostic(self, one: Diagnostic, related: bool = True) -> lsp.Diagnostic:
        """`related` says whether the editor shows places that bear on a fault."""
        others = [
            lsp.DiagnosticRelatedInformation(self.location(other.span), other.text) for other in one.others
        ]
        return lsp.Diagnostic(
            range=self.range(one.span),
            message="\n".join([one.message, *one.hints]),
            severity=_SEVERITIES[one.severity],
            code=one.code,
            code_description=_page(one.code),
            source="countwheel",
            related_information=others if related and others else None,
        )

    def text_edit(self, edit: Edit) -> lsp.TextEdit:
        text = edit.text.replace("\n", self.newline_of(edit.span.file))
        return lsp.TextEdit(self.range(edit.span), text)

    def workspace_edit(self, edits: Iterable[Edit], versioned: bool) -> lsp.WorkspaceEdit:
        """`versioned` says whether the editor takes edits that hold for one version of a text only."""
        by_file: dict[str, list[lsp.TextEdit]] = {}
        for edit in edits:
            by_file.setdefault(edit.span.file, []).append(self.text_edit(edit))
        if not versioned:
            return lsp.WorkspaceEdit(changes={self.uri_of(file): some for file, some in by_file.items()})
        return lsp.WorkspaceEdit(
            document_changes=[
                lsp.TextDocumentEdit(
                    lsp.OptionalVersionedTextDocumentIdentifier(self.uri_of(file), self.version_of(file)),
                    list(some),
                )
                for file, some in by_file.items()
            ]
        )

    def code_action(self, mend: Mend, versioned: bool, related: bool) -> lsp.CodeAction:
        return lsp.CodeAction(
            title=first_capital(mend.edit.title),
            kind=lsp.CodeActionKind.QuickFix,
            diagnostics=[self.diagnostic(mend.diagnostic, related)],
            is_preferred=mend.only or None,
            edit=self.workspace_edit([mend.edit], versioned),
        )

    # -- answers -----------------------------------------------------------
    def completion(self, file: str, offer: Offer, number: int) -> lsp.CompletionItem:
        return lsp.CompletionItem(
            label=offer.label,
            kind=_COMPLETIONS[offer.kind],
            detail=offer.detail or None,
            documentation=lsp.MarkupContent(lsp.MarkupKind.Markdown, offer.meaning)
            if offer.meaning
            else None,
            sort_text=f"{number:05}",
            text_edit=lsp.TextEdit(self.range(Span(file, offer.start, offer.end)), offer.text),
        )

    def hover(self, found: Hover) -> lsp.Hover:
        return lsp.Hover(lsp.MarkupContent(lsp.MarkupKind.Markdown, found.text), self.range(found.span))

    def symbol(self, one: Symbol) -> lsp.DocumentSymbol:
        return lsp.DocumentSymbol(
            name=one.name,
            detail=one.detail or None,
            kind=_SYMBOLS[one.kind],
            range=self.range(one.span),
            selection_range=self.range(one.name_span),
            children=[self.symbol(below) for below in one.below],
        )

    def hint(self, file: str, one: Hint) -> lsp.InlayHint:
        return lsp.InlayHint(self.place(file, one.offset), one.text, tooltip=one.meaning, padding_left=True)

    def tokens(self, file: str, found: Iterable[Token]) -> lsp.SemanticTokens:
        """Five numbers a token: rows and columns on from the one before, its width, kind and modifiers."""
        source = self.sources[file]
        data: list[int] = []
        row = column = 0
        for token in found:
            line, start = position(source, token.start, self.encoding)
            data += [
                line - row,
                start - column if line == row else start,
                width(source.text[token.start : token.end], self.encoding),
                KINDS.index(token.kind),
                1 if token.given else 0,
            ]
            row, column = line, start
        return lsp.SemanticTokens(data)


def fold(one: Fold) -> lsp.FoldingRange:
    kind = lsp.FoldingRangeKind.Comment if one.kind == "comment" else lsp.FoldingRangeKind.Region
    return lsp.FoldingRange(one.first, one.last, kind=kind)


def _page(code: str) -> lsp.CodeDescription | None:
    """The page of a code, as a file that an editor can open; None where the package lies in no folder."""
    page = files("countwheel.diagnostics").joinpath("pages", f"{code}.md")
    as_uri = getattr(page, "as_uri", None)
    return lsp.CodeDescription(as_uri()) if as_uri is not None else None
