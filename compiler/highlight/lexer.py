"""A Pygments lexer, and the look that our own pages have. Found by Pygments under the name `movement`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from countwheel.highlight.pieces import Kind, pieces
from pygments.lexer import Lexer
from pygments.style import Style
from pygments.token import (
    Comment,
    Error,
    Keyword,
    Literal,
    Name,
    Number,
    Operator,
    Punctuation,
    String,
    Text,
    Whitespace,
    _TokenType,
)

TOKENS: dict[Kind, _TokenType] = {
    "part": Keyword.Declaration,
    "fact": Name.Attribute,
    "choice": Keyword.Constant,
    "word": Operator.Word,
    "name": Name.Label,
    "path": Name.Variable,
    "value": Text,
    "evidence": Keyword.Reserved,
    "number": Number,
    "unit": Keyword.Type,
    "unknown": Name.Constant,
    "date": Literal.Date,
    "text": String.Double,
    "block": String.Doc,
    "comment": Comment.Single,
    "sign": Punctuation,
    "fault": Error,
    "space": Whitespace,
}


class MovementLexer(Lexer):
    """A description of a tower clock. `Error` marks what cannot be read; the tokens joined are the text."""

    name = "countwheel"
    aliases: ClassVar[list[str]] = ["movement", "countwheel"]
    filenames: ClassVar[list[str]] = ["*.movement"]
    mimetypes: ClassVar[list[str]] = []
    url = ""

    def get_tokens_unprocessed(self, text: str) -> Iterator[tuple[int, _TokenType, str]]:
        for piece in pieces(text):
            yield piece.start, TOKENS[piece.kind], text[piece.start : piece.end]


class NotebookStyle(Style):
    """Ink on white. Weight, slant and underline tell apart what a printer without colours would not."""

    name = "movement"
    background_color = "#ffffff"
    highlight_color = "#fff3c4"
    line_number_color = "#5c5c5c"
    styles: ClassVar[dict[_TokenType, str]] = {
        Text: "#1a1a1a",
        Whitespace: "",
        Keyword.Declaration: "bold #123a7a",
        Name.Attribute: "#123a7a",
        Keyword.Constant: "italic #6b2166",
        Operator.Word: "#4a4a4a",
        Name.Label: "bold italic #1a1a1a",
        Name.Variable: "bold italic #1a1a1a",
        Keyword.Reserved: "underline #0d5a3c",
        Number: "#8a3200",
        Keyword.Type: "italic #8a3200",
        Name.Constant: "bold #a3112b",
        Literal.Date: "#0d5a3c",
        String.Double: "#4d4a12",
        String.Doc: "#4d4a12",
        Comment.Single: "italic #5c5c5c",
        Punctuation: "#1a1a1a",
        Error: "bold underline #a3112b",
    }
