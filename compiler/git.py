"""What git says of a description: which revision it is, and what has changed since its last issue.

Only objects that are committed are read, by one program with a fixed set of words: no hook, pager, filter,
signature program or network can be set off by what a repository's own configuration says.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import posixpath
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

from countwheel.files import MOST_BYTES, Folder, Trouble, decode
from countwheel.model.changes import Change, Changes

ISSUE = "*issue*"  # a tag of such a name marks what was handed out
MOST = 60  # commits listed; of older ones only the number is told
_SECONDS = 10
_SHORT = 10  # letters of a revision: always as many, whatever else is in the repository
_FIXED = (
    "--no-pager",
    "--literal-pathspecs",
    "--no-optional-locks",
    *("-c", "core.fsmonitor=false", "-c", "core.hooksPath=/dev/null", "-c", "log.showSignature=false"),
    *("-c", "protocol.allow=never", "-c", "safe.bareRepository=explicit"),
    *("-c", "i18n.logOutputEncoding=UTF-8", "-c", "log.follow=false", "-c", "log.mailmap=false"),
)


NONE = Changes()


def changes(folder: Path, names: Sequence[str]) -> Changes:
    """What git says of files, named from their folder; `NONE` without git, outside a work tree, before a commit."""
    revision = ask(folder, "rev-parse", "--verify", "--quiet", "HEAD^{commit}")
    if not revision or ask(folder, "rev-parse", "--is-inside-work-tree") != "true":
        return NONE
    touched = ask(folder, "rev-list", "--max-count=1", revision, "--", *names)
    if not touched:
        return NONE  # the files are not among those that git keeps
    issue = _last_issue(folder, revision)
    since = f"refs/tags/{issue}..{touched}" if issue else touched
    form = "--format=%H%x1f%as%x1f%an%x1f%s"
    lines = (ask(folder, "log", f"--max-count={MOST}", form, since, "--", *names) or "").splitlines()
    rows = [line.split("\x1f", 3) for line in lines]
    found = tuple(Change(row[0][:_SHORT], row[1], row[2], row[3]) for row in rows if len(row) == 4)
    number = ask(folder, "rev-list", "--count", since, "--", *names) or ""
    return Changes(
        touched[:_SHORT],
        all(_committed(folder, revision, name) for name in names),
        issue,
        found,
        max(0, int(number) - len(found)) if number.isdigit() else 0,
    )


class Kept:
    """The files beside a description as one revision has them: nothing outside its folder is read."""

    def __init__(self, folder: Path, revision: str) -> None:
        """Raises Trouble where git, the work tree or the revision is not there."""
        self.folder, self.revision = folder, revision
        plain = revision and not revision.startswith("-")
        found = ask(folder, "rev-parse", "--verify", "--quiet", f"{revision}^{{commit}}") if plain else None
        if not found:
            raise Trouble("M001", f"git knows no revision `{revision}` there")
        self.commit = found

    def text(self, name: str) -> str:
        """The text of a file, line ends made `\\n`. Raises Trouble."""
        inside = posixpath.normpath(name)
        if "\0" in name or inside.startswith(("/", "../")) or inside == "..":
            raise Trouble("M004", "it lies outside the description's own folder")
        blob = f"{self.commit}:./{inside}"
        size = ask(self.folder, "cat-file", "-s", blob) or ""
        if not size.isdigit():
            raise Trouble("M001", f"there is no such file in revision `{self.revision}`")
        if int(size) > MOST_BYTES:
            raise Trouble("M001", "it is far too large to be a description")
        data = _printed(self.folder, "cat-file", "blob", blob)
        if data is None:
            raise Trouble("M001", f"it is not a plain file in revision `{self.revision}`")
        return decode(data)


def blobs(folder: Path, revisions: Sequence[str], names: Sequence[str]) -> dict[tuple[str, str], str]:
    """What git calls the content of each file in each revision; nothing for one that is not there or far too large."""
    asked = [(revision, name) for revision in revisions for name in names if "\n" not in name]
    lines = "".join(f"{revision}:./{name}\n" for revision, name in asked).encode()
    told = (_printed(folder, "cat-file", "--batch-check", given=lines) or b"").decode("utf-8", "replace")
    found = {}
    for one, line in zip(asked, told.splitlines(), strict=False):
        words = line.split(" ")
        if len(words) == 3 and words[1] == "blob" and words[2].isdigit() and int(words[2]) <= MOST_BYTES:
            found[one] = words[0]
    return found


def contents(folder: Path, names: Sequence[str]) -> dict[str, str]:
    """The texts that git calls so; what is not text is left out."""
    data = (
        _printed(folder, "cat-file", "--batch", given="".join(f"{name}\n" for name in names).encode()) or b""
    )
    found, at = {}, 0
    while (end := data.find(b"\n", at)) >= 0:
        name, *rest = data[at:end].decode("ascii", "replace").split(" ")
        if len(rest) != 2 or not rest[1].isdigit():
            break
        size = int(rest[1])
        with contextlib.suppress(Trouble):
            found[name] = decode(data[end + 1 : end + 1 + size])
        at = end + 1 + size + 1
    return found


def _last_issue(folder: Path, revision: str) -> str:
    """The nearest tag before what is handed out now: one that stands on this very commit names this issue."""
    here = ask(folder, "tag", "--list", ISSUE, "--points-at", revision)
    start = f"{revision}^" if here else revision
    return ask(folder, "describe", "--tags", "--abbrev=0", f"--match={ISSUE}", start) or ""


def _committed(folder: Path, revision: str, name: str) -> bool:
    """Whether a file is as that revision has it. Worked out here, as git might run filters to tell."""
    kept = ask(folder, "rev-parse", "--verify", "--quiet", f"{revision}:./{name}")
    if not kept:
        return False
    try:
        content = Folder(folder).bytes(name)
    except Trouble:
        return False
    kind = hashlib.sha256 if len(kept) == 64 else hashlib.sha1
    ways = {content, content.replace(b"\r\n", b"\n")}  # git may have changed the ends of lines on the way out
    return any(kind(b"blob %d\0%b" % (len(way), way)).hexdigest() == kept for way in ways)


def ask(folder: Path, *words: str) -> str | None:
    """What git prints as text, without the last line end; None where it fails or is not there."""
    printed = _printed(folder, *words)
    return None if printed is None else printed.decode("utf-8", "replace").rstrip("\n")


def program() -> str | None:
    """Where git is, whole from the root; None where it is not there.

    Only folders that are named whole are searched: by `.` on the PATH, and on Windows by itself, a program of that name
    that lies beside a description would be run.
    """
    places = os.environ.get("PATH", os.defpath).split(os.pathsep)
    found = shutil.which("git", path=os.pathsep.join(place for place in places if os.path.isabs(place)))
    return found if found and os.path.isabs(found) else None


def _printed(folder: Path, *words: str, given: bytes = b"") -> bytes | None:
    git = program()
    if git is None:
        return None
    kept = ("PATH", "HOME", "USERPROFILE", "SYSTEMROOT", "XDG_CONFIG_HOME")
    around = {name: os.environ[name] for name in kept if name in os.environ}
    around |= {"LC_ALL": "C", "GIT_TERMINAL_PROMPT": "0"}
    around |= {"GIT_NO_LAZY_FETCH": "1", "GIT_NO_REPLACE_OBJECTS": "1"}
    try:
        done = subprocess.run(
            [git, *_FIXED, *words],
            cwd=folder,
            env=around,
            input=given,
            capture_output=True,
            timeout=_SECONDS,
            check=False,
        )
    except (OSError, ValueError, subprocess.TimeoutExpired):
        return None
    return done.stdout if done.returncode == 0 else None
