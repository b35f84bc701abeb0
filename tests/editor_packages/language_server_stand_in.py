"""A language server that can do one thing: to say of every description opened that its first line is odd.

Written from the Language Server Protocol 3.17: messages of JSON behind a `Content-Length` header.
"""

from __future__ import annotations

import json
import sys
from typing import Any


def read() -> Any:
    length = 0
    while line := sys.stdin.buffer.readline().strip():
        name, _, value = line.partition(b":")
        if name.lower() == b"content-length":
            length = int(value)
    return json.loads(sys.stdin.buffer.read(length)) if length else None


def write(**message: Any) -> None:
    body = json.dumps({"jsonrpc": "2.0", **message}).encode()
    sys.stdout.buffer.write(b"Content-Length: %d\r\n\r\n" % len(body) + body)
    sys.stdout.buffer.flush()


assert sys.argv[1:] == ["language-server"], sys.argv
while message := read():
    method = message.get("method")
    if method == "initialize":
        write(id=message["id"], result={"capabilities": {"textDocumentSync": 1}})
    elif method == "textDocument/didOpen":
        document = message["params"]["textDocument"]
        first = {"start": {"line": 0, "character": 0}, "end": {"line": 0, "character": 10}}
        odd = {"range": first, "severity": 2, "message": f"odd: {document['text'].splitlines()[0]}"}
        write(
            method="textDocument/publishDiagnostics",
            params={"uri": document["uri"], "diagnostics": [odd]},
        )
    elif method == "shutdown":
        write(id=message["id"], result=None)
    elif method == "exit":
        break
