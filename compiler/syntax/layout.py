"""From text to logical lines: indentation, comments, blank lines and text blocks.

Indentation makes the blocks. Any consistent depth is read; a tab is reported
once a line and counted as one step. A line whose depth fits nothing is
reported and put where it most likely belongs, so that it costs one message.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections import Counter

from countwheel.diagnostics.record import Diagnostic, Edit
from countwheel.diagnostics.registry import say
from countwheel.source import Source
from countwheel.syntax.tree import Line, Tree

FENCE = '"""'
DEEPEST = 24  # no fact of a clock lies half as deep; what is deeper is some other kind of file
LOOK_AHEAD = 40
_MARGIN = re.compile(r"[ \t]*")
# Controls, line separators, and marks that turn text round or cannot be seen: none has a place in a notebook.
_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b\u2028-\u202e\u2060\u2066-\u2069\ufeff]")


def _comment_start(text: str) -> int:
    """Where a comment begins in a line's text: a `#` at the start or behind white space, outside quotes."""
    if "#" not in text:
        return len(text)
    at = 0
    while at < len(text):
        letter = text[at]
        if letter == '"':
            mark = FENCE if text.startswith(FENCE, at) else letter
            close = text.find(mark, at + len(mark))
            if close < 0:
                return _behind_open_quote(text, at, mark)
            at = close + len(mark)
        elif letter == "#" and (at == 0 or text[at - 1] in " \t"):
            return at
        else:
            at += 1
    return len(text)


def _behind_open_quote(text: str, at: int, mark: str) -> int:
    """Where a comment begins behind a quote that is not closed in its line."""
    if mark == FENCE:  # text begins here, and whatever stands in it is text
        rest = text[at + len(mark) :]
        return len(text) - len(rest.lstrip()) if rest.lstrip().startswith("#") else len(text)
    # A quote left open would swallow the comment: then the first plain `#` behind white space is it.
    found = re.search(r"(?<=[ \t])#", text[at:])
    return at + found.start() if found else len(text)


def _text_start(content: str) -> int | None:
    """Where in a line's content a text opens that is not closed in that line; None where none does."""
    at = content.find('"')
    while at >= 0:
        mark = FENCE if content.startswith(FENCE, at) else '"'
        close = content.find(mark, at + len(mark))
        if close < 0:
            return at if mark == FENCE else None
        at = content.find('"', close + len(mark))
    return None


def lay_out(source: Source) -> tuple[Tree, list[Diagnostic]]:
    """The logical lines of a file as a tree, and what is amiss with its layout. Never raises."""
    return _Layout(source).run()


class _Layout:
    def __init__(self, source: Source) -> None:
        self.source = source
        self.report: list[Diagnostic] = []
        self.rows = source.text.split("\n")
        self.fences = [number for number, row in enumerate(self.rows) if FENCE in row]
        self.at = 0  # index of the physical line being read
        self.offset = 0  # its first character in the file
        self.step = self._usual_step()
        self.too_deep = False  # told once
        self.odd: set[tuple[int, int]] = set()  # block and depth of lines that fitted nothing

    def _usual_step(self) -> int:
        """The least depth that two lines stand at, or the only one there is: what a tab is taken for."""
        depths = Counter(
            len(row) - len(row.lstrip(" "))
            for row in self.rows
            if row[:1] == " " and row.lstrip(" ")[:1] not in ("", "\t", "#")
        )
        return min((depth for depth, lines in depths.items() if lines > 1), default=min(depths, default=2))

    def run(self) -> tuple[Tree, list[Diagnostic]]:
        tree = Tree(self.source.file, [])
        stack: list[Line] = []
        comments: list[str] = []
        blanks = 0
        while self.at < len(self.rows):
            row, start = self.rows[self.at], self.offset
            self._advance()
            margin = _MARGIN.match(row)
            width = margin.end() if margin else 0
            body = row[width:]
            cut = _comment_start(body)
            content = body[:cut].rstrip()
            comment = body[cut:].rstrip()
            if not content:
                if comment:
                    comments.append(comment)
                else:
                    blanks += 1
                continue
            depth = self._depth(row[:width], start, len(content))
            begin = start + width
            line = Line(depth, content, begin, begin + len(content), comment, tuple(comments), blanks)
            comments, blanks = [], 0
            self._controls(line)
            opening = _text_start(content) if FENCE in content else None
            if opening is not None:
                self._text_block(line, width, opening)
            self._place(line, stack, tree)
        tree.tail = tuple(comments)
        return tree, self.report

    def _advance(self) -> None:
        self.offset += len(self.rows[self.at]) + 1
        self.at += 1

    def _depth(self, margin: str, start: int, length: int) -> int:
        tabs = margin.count("\t")
        if not tabs:
            return len(margin)
        depth = margin.count(" ") + tabs * self.step
        span = self.source.span(start, start + len(margin))
        self.report.append(
            say(
                "M101",
                span,
                "This line is indented with a tab; how deep that is differs from screen to screen.",
                label="a tab here",
                hints=(f"write {depth} spaces instead",),
                edits=(Edit(span, " " * depth, f"{depth} spaces for the tab"),),
            )
        )
        return depth

    def _controls(self, line: Line) -> None:
        found = _CONTROL.search(line.content)
        if found is None:
            return
        span = self.source.span(line.start + found.start(), line.start + found.end())
        self.report.append(
            say(
                "M005",
                span,
                f"There is a character here that cannot be seen or printed (number {ord(found[0]):04X}).",
                label="an invisible character",
                hints=("take it out; it often comes with text copied from another program",),
                edits=(Edit(span, "", "take out the invisible character"),),
            )
        )
        line.broken = True

    def _text_block(self, line: Line, width: int, opening: int) -> None:
        """Reads the lines up to the closing quotes into `line.block`; text may begin behind the opening ones."""
        start = opening + len(FENCE)
        begun = line.content[start:].strip()
        line.content = line.content[:start]
        line.end = line.start + start
        closing = self._closing(width)
        if closing is None:
            span = self.source.span(line.end - len(FENCE), line.end)
            self.report.append(
                say(
                    "M104",
                    span,
                    "The text that begins here is not closed.",
                    label="opened here",
                    hints=(f"write {FENCE} on a line of its own under the text",),
                )
            )
            stop = self.at
            while stop < len(self.rows) and self._inside(self.rows[stop], width):
                stop += 1
            text = self.rows[self.at : stop]
        else:
            stop = closing + 1
            text = [*self.rows[self.at : closing], self.rows[closing].rstrip().removesuffix(FENCE)]
        trim = min((len(row) - len(row.lstrip()) for row in text if row.strip()), default=0)
        line.block = "\n".join([begun, *(row[trim:].rstrip() for row in text)]).strip("\n")
        while self.at < stop:
            self._advance()
        line.block_end = self.offset - 1

    def _closing(self, width: int) -> int | None:
        """The row that closes a text; None where the next row of quotes opens another one, or there is none."""
        where = bisect_left(self.fences, self.at)
        if where == len(self.fences):
            return None
        row = self.rows[self.fences[where]].rstrip()
        before = row.removesuffix(FENCE)
        # Quotes close a text where they stand alone, or right behind its last word.
        closes = row != before and FENCE not in before
        if closes and (not before.strip() or (before == before.rstrip() and self._inside(row, width))):
            return self.fences[where]
        return None

    @staticmethod
    def _inside(row: str, width: int) -> bool:
        return not row.strip() or len(row) - len(row.lstrip()) > width

    def _place(self, line: Line, stack: list[Line], tree: Tree) -> None:
        """Hangs the line under the nearest shallower one; reports a depth that fits nothing above."""
        closed: Line | None = None
        while stack and stack[-1].indent >= line.indent:
            closed = stack.pop()
        siblings = stack[-1].children if stack else tree.lines
        if closed is not None and closed.indent != line.indent:
            first = siblings[0]
            if closed is first and len(siblings) == 1 and stack and self._is_odd(closed, line, stack[-1]):
                # The first line of the block stood deeper than the rest: it is the odd one.
                self._misplaced(
                    first, [line.indent], "the lines after it that belong with it stand at another depth"
                )
                first.indent = line.indent
            else:
                levels = {closed.indent, *(above.indent for above in stack[-3:])}
                again = (id(stack[-1]) if stack else 0, line.indent)
                if again not in self.odd:  # a run of lines at one odd depth is one fault
                    self._misplaced(line, sorted(levels), "no line above it stands at that depth")
                self.odd.add(again)
                # It is hung at the nearest depth, so that the lines after it still find their places.
                line.odd, line.indent = True, self._nearest(sorted(levels), line.indent)
                while stack and stack[-1].indent >= line.indent:
                    stack.pop()
                siblings = stack[-1].children if stack else tree.lines
        elif closed is None and not stack and line.indent and not tree.lines:
            self._misplaced(line, [0], "the first line of a description stands at the margin")
            line.indent = 0
        siblings.append(line)
        if len(stack) < DEEPEST:
            stack.append(line)
        elif not self.too_deep and line.indent > stack[-1].indent:
            self.too_deep = True
            self._misplaced(line, [stack[-1].indent], "nothing in a description lies as deep as that")

    def _is_odd(self, first: Line, line: Line, above: Line) -> bool:
        """Whether of the two lines that begin a block at different depths the first is the odd one."""
        usual = above.indent + self.step
        if usual in (first.indent, line.indent):
            return line.indent == usual
        return not self._resumes(first.indent)

    def _resumes(self, depth: int) -> bool:
        """Whether the next line no deeper than `depth` stands at it: then the one between them is the odd one."""
        for row in self.rows[self.at : self.at + LOOK_AHEAD]:
            bare = row.lstrip(" ")
            if bare and bare[0] != "#" and len(row) - len(bare) <= depth:
                return len(row) - len(bare) == depth
        return False

    def _misplaced(self, line: Line, levels: list[int], why: str) -> None:
        start = line.start - len(self._margin_of(line))
        right = self._nearest(levels, line.indent)
        span = self.source.span(start, line.start)
        self.report.append(
            say(
                "M102",
                span,
                f"This line is indented by {line.indent}; {why}.",
                label="how deep?",
                hints=(
                    f"indent it by {' or '.join(str(level) for level in levels)} to say what it belongs to",
                ),
                edits=(Edit(span, " " * right, f"indent by {right}"),),
            )
        )

    @staticmethod
    def _nearest(levels: list[int], depth: int) -> int:
        return min(levels, key=lambda level: (abs(level - depth), -level))

    def _margin_of(self, line: Line) -> str:
        row_start = self.source.text.rfind("\n", 0, line.start) + 1
        return self.source.text[row_start : line.start]
