"""How soon the language server answers, printed: run by hand with `python tests/benchmarks/language_server.py`.

A real server over a pipe, warm. A keystroke is one change of the text sent; it is answered when the diagnostics of that
version are there. The quiet that the server waits for before it looks (120 ms) is set to nothing and not in the times.
"""

from __future__ import annotations

import argparse
import asyncio
import sys
from collections.abc import Awaitable, Callable
from pathlib import Path
from statistics import median
from time import perf_counter

from lsprotocol import types as lsp
from pygls.lsp.client import LanguageClient

ROOT = Path(__file__).parents[2]
SPECS = ROOT / "specs"
DEMOS = {
    "eskerholt-observatory, 309 lines": "eskerholt-observatory/eskerholt-observatory.movement",
    "ellenfrith-school, 350 lines": "ellenfrith-school/ellenfrith-school.movement",
    "penquay, 508 lines and 154 included": "penquay-harbour-office/penquay-harbour-office.movement",
}


class Editor:
    """One open description and the server that it talks to."""

    def __init__(self, path: Path) -> None:
        self.uri = path.as_uri()
        self.text = path.read_text(encoding="utf-8")
        self.version = 0
        self.told: asyncio.Queue[int | None] = asyncio.Queue()
        self.client = LanguageClient("benchmark", "1")

        @self.client.feature(lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
        def told(params: lsp.PublishDiagnosticsParams) -> None:
            if params.uri == self.uri:
                self.told.put_nowait(params.version)

    async def start(self) -> None:
        tool = str(Path(sys.executable).parent / "countwheel")
        await self.client.start_io(tool, "language-server")
        await self.client.initialize_async(
            lsp.InitializeParams(lsp.ClientCapabilities(), initialization_options={"quiet": 0})
        )
        self.client.initialized(lsp.InitializedParams())
        item = lsp.TextDocumentItem(self.uri, "countwheel", self.version, self.text)
        self.client.text_document_did_open(lsp.DidOpenTextDocumentParams(item))
        await self.until()

    async def until(self) -> None:
        """Waits for the diagnostics of this version."""
        while await self.told.get() != self.version:
            pass

    async def key(self) -> None:
        """One more character in the middle of the text: a digit in its comment, or another count."""
        self.version += 1
        middle = self.text.index("\n", len(self.text) // 2)
        text = f"{self.text[:middle]}  # {self.version}{self.text[middle:]}"
        changed = lsp.VersionedTextDocumentIdentifier(self.version, self.uri)
        change = lsp.TextDocumentContentChangeWholeDocument(text)
        self.client.text_document_did_change(lsp.DidChangeTextDocumentParams(changed, [change]))

    async def keystroke(self) -> None:
        await self.key()
        await self.until()

    async def completion_behind_keystroke(self) -> None:
        await self.key()
        at = lsp.Position(self.text.count("\n", 0, len(self.text) // 2) + 1, 2)
        document = lsp.TextDocumentIdentifier(self.uri)
        await self.client.text_document_completion_async(lsp.CompletionParams(document, at))
        await self.until()

    async def hover(self) -> None:
        row = self.text[: self.text.index("arbor centre")].count("\n")
        await self.client.text_document_hover_async(
            lsp.HoverParams(lsp.TextDocumentIdentifier(self.uri), lsp.Position(row, 3))
        )

    async def tokens(self) -> None:
        document = lsp.TextDocumentIdentifier(self.uri)
        await self.client.text_document_semantic_tokens_full_async(lsp.SemanticTokensParams(document))

    async def stop(self) -> None:
        await self.client.shutdown_async(None)
        self.client.exit(None)
        await self.client.stop()


async def timed(name: str, once: Callable[[], Awaitable[None]], rounds: int) -> float:
    for _ in range(3):
        await once()
    taken = []
    for _ in range(rounds):
        began = perf_counter()
        await once()
        taken.append(perf_counter() - began)
    print(f"  {name:<44} least {min(taken) * 1000:6.1f} ms   median {median(taken) * 1000:6.1f} ms")
    return median(taken)


async def run(rounds: int) -> None:
    for name, file in DEMOS.items():
        print(name)
        editor = Editor(SPECS / file)
        await editor.start()
        await timed("a keystroke, to its diagnostics", editor.keystroke, rounds)
        await timed("a keystroke, completion, its diagnostics", editor.completion_behind_keystroke, rounds)
        await timed("hover", editor.hover, rounds)
        await timed("semantic tokens", editor.tokens, rounds)
        await editor.stop()
    print("a keystroke in a file of 300 lines: under 100 ms, median, is the aim")


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rounds", type=int, default=25)
    asyncio.run(run(options.parse_args().rounds))


if __name__ == "__main__":
    main()
