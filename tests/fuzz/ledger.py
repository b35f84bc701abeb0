"""What one worker of a long run has tried: counts, the slowest input, the most memory, and every fault as a file."""

from __future__ import annotations

import fcntl
import hashlib
import json
import mmap
import os
import time
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any

import holds

TAKEN = 4  # the exit code of a worker whose account another run keeps
LARGEST = 1 << 20  # bytes of an input that are kept in view of whoever watches
KEPT = 3  # inputs that are kept of one fault
TRIES = 200  # of making an input with a fault smaller


def fault_of(wrong: BaseException) -> str:
    """What tells one fault from another: its kind and where in the program it came up."""
    frames = traceback.extract_tb(wrong.__traceback__)
    inside = [frame for frame in frames if "/compiler/" in frame.filename or "/countwheel/" in frame.filename]
    at = inside[-1] if inside else frames[-1]
    said = str(wrong)[:60] if isinstance(wrong, holds.Breach) else ""
    if isinstance(wrong, holds.TooSlow):  # it is stopped anywhere: the stage is what tells
        at = inside[min(3, len(inside) - 1)] if inside else at
    return f"{type(wrong).__name__} {Path(at.filename).name} {at.name} {said}".strip()


class Ledger:
    """One worker's account, kept in `state/NAME.json`, taken up again where it is there already."""

    def __init__(self, state: Path, name: str) -> None:
        self.state, self.name = state, name
        for folder in ("faults", "liked", "now"):
            (state / folder).mkdir(parents=True, exist_ok=True)
        self._lock = (state / "now" / f"{name}.lock").open("wb")  # held as long as the process lives
        try:
            fcntl.flock(self._lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            raise SystemExit(TAKEN) from None
        self.file = state / f"{name}.json"
        self.known: dict[str, Any] = {
            "inputs": 0, "accepted": 0, "pdf": 0, "seconds": 0.0, "blocks": 0, "slowest": 0.0, "memory": 0.0,
            "liked": 0, "faults": {},
        }  # fmt: skip
        if self.file.exists():
            self.known |= json.loads(self.file.read_text(encoding="utf-8"))
        path = state / "now" / name
        path.write_bytes(bytes(LARGEST + 16))
        with path.open("r+b") as handle:
            self._now = mmap.mmap(handle.fileno(), 0)
        self.marks: set[str] = set()

    def tried(self, text: str, work: Callable[[str], Any]) -> Any:
        """Does the work, keeps the account, and gives what the work gave; None where it did not hold."""
        data = text.encode("utf-8", "surrogatepass")[:LARGEST]
        self._now[:16] = self.known["inputs"].to_bytes(8, "little") + len(data).to_bytes(8, "little")
        self._now[16 : 16 + len(data)] = data
        start = time.process_time()
        given = None
        try:
            given = work(text)
        except (Exception, holds.TooSlow) as wrong:
            self._fault(text, work, wrong)
        seconds = time.process_time() - start
        self.known["inputs"] += 1
        self.known["seconds"] += seconds
        if seconds > self.known["slowest"] and given is not None:
            self.known["slowest"] = seconds
            (self.state / f"slowest-{self.name}.movement").write_bytes(data)
        return given

    def save(self) -> None:
        self.known["memory"] = max(self.known["memory"], holds.memory())
        fresh = self.file.with_suffix(".new")
        fresh.write_text(json.dumps(self.known, indent=1), encoding="utf-8")
        os.replace(fresh, self.file)

    def like(self, text: str, marks: frozenset[str]) -> bool:
        """Keeps an input that showed something new."""
        new = marks - self.marks
        if not new:
            return False
        self.marks |= new
        self.known["liked"] += 1
        data = text.encode("utf-8", "surrogatepass")
        (self.state / "liked" / f"{hashlib.sha256(data).hexdigest()[:12]}.movement").write_bytes(data)
        return True

    def _fault(self, text: str, work: Callable[[str], Any], wrong: BaseException) -> None:
        key = fault_of(wrong)
        if isinstance(wrong, holds.TooSlow) and self._again(text, work) != key:
            return  # once more, and it was in time: the machine was busy
        self.known["faults"][key] = number = self.known["faults"].get(key, 0) + 1
        if number > KEPT:
            return
        told = "".join(traceback.format_exception(wrong))
        small = text if isinstance(wrong, holds.TooSlow) or "MB" in key else self._smaller(text, work, key)
        stem = self.state / "faults" / f"{hashlib.sha256(key.encode()).hexdigest()[:8]}-{self.name}-{number}"
        stem.with_suffix(".movement").write_bytes(small.encode("utf-8", "surrogatepass"))
        stem.with_suffix(".txt").write_text(f"{key}\n\n{told}", encoding="utf-8", errors="replace")
        self.save()

    def _again(self, text: str, work: Callable[[str], Any]) -> str:
        try:
            work(text)
        except (Exception, holds.TooSlow) as wrong:
            return fault_of(wrong)
        return ""

    def _smaller(self, text: str, work: Callable[[str], Any], key: str) -> str:
        """The text with as many of its lines and words taken away as leave the same fault."""
        tries = TRIES
        for sign in ("\n", " "):
            parts = text.split(sign)
            size = max(len(parts) // 2, 1)
            while size and tries > 0:
                at = 0
                while at < len(parts) and tries > 0:
                    less = parts[:at] + parts[at + size :]
                    tries -= 1
                    if self._again(sign.join(less), work) == key:
                        parts = less
                    else:
                        at += size
                size //= 2
            text = sign.join(parts)
        return text
