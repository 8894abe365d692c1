"""A place in a file's tokens, the constructs open around it, and how to get on after something unreadable."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import replace

from memlint.reading.facts.items import Skipped
from memlint.reading.facts.statements import SkippedStatement
from memlint.reading.vhdl.lexer import Lexed
from memlint.reading.vhdl.parse import Failure
from memlint.reading.vhdl.tokens import Token, names_in
from memlint.text.source import SourceText, Span

_LONGEST_RETRIED = 2_000


class Cursor:
    """Tokens and the index of the next one.

    `opened` holds (kind, name) of each construct around it, outermost first; ends.py knows the kinds.
    `margin` is the indentation of the design unit around it.
    """

    __slots__ = ("at", "closing", "margin", "opened", "stops", "text", "tokens")

    def __init__(self, lexed: Lexed, source: SourceText) -> None:
        self.tokens = lexed.tokens
        self.closing = lexed.closing
        self.stops = lexed.stops
        self.text = source.text
        self.at = 0
        self.margin = 0
        self.opened: list[tuple[str, str]] = []

    @property
    def token(self) -> Token:
        return self.tokens[self.at]

    @property
    def kind(self) -> str:
        return self.tokens[self.at].type

    def peek(self, ahead: int = 1) -> Token:
        """The token so many places on; EOF past the end."""
        return self.tokens[min(self.at + ahead, len(self.tokens) - 1)]

    def accept(self, kind: str) -> bool:
        """Step over the next token if it is of this type."""
        if self.tokens[self.at].type != kind or kind == "EOF":
            return False
        self.at += 1
        return True

    def name(self) -> str:
        """The name that stands here, stepped over; `` where none does."""
        token = self.tokens[self.at]
        if token.type != "NAME":
            return ""
        self.at += 1
        return token.value

    def accept_word(self, word: str) -> bool:
        """Step over a word that is reserved only in later revisions of the language."""
        token = self.tokens[self.at]
        if token.type != "NAME" or token.value != word:
            return False
        self.at += 1
        return True

    def span(self, start: int) -> Span:
        """From token `start` to the one before the cursor (to `start` alone where nothing was consumed)."""
        first, last = self.tokens[start], self.tokens[max(start, self.at - 1)]
        return Span(first.file, first.start, last.end)

    def here(self) -> Span:
        """The empty place before the next token."""
        token = self.tokens[self.at]
        return Span(token.file, token.start, token.start)

    def next_stop(self) -> int:
        """Index of the next token in STOPS, from here on."""
        return self.stops[bisect_left(self.stops, self.at)]

    def leaf(self) -> list[Token]:
        """The rest of a simple statement; steps over it and its `;`.

        Where another statement begins before a `;`, the rest ends there, before its label.
        """
        stop = self.next_stop()
        taken = self.tokens[self.at : stop]
        if self.tokens[stop].type == "SEMI":
            self.at = stop + 1
            return taken
        if len(taken) >= 2 and taken[-1].type == "COLON" and taken[-2].type == "NAME":
            stop -= 2
            del taken[-2:]
        self.at = stop
        return taken

    def until(self, terminal: str) -> list[Token]:
        """The tokens before the next stop; steps over them, and over the stop if it is `terminal`."""
        stop = self.next_stop()
        taken = self.tokens[self.at : stop]
        self.at = stop + 1 if self.tokens[stop].type == terminal else stop
        return taken

    def skip_statement(self) -> None:
        """Step past the next `;`, over anything but an `end` or a new unit."""
        while True:
            self.at = self.next_stop()
            kind = self.kind
            if kind == "SEMI":
                self.at += 1
                return
            if kind in ("END", "EOF", "BEGIN") or self.at_unit():
                return
            self.at += 1

    def recover(self, start: int, failure: Failure) -> None:
        """After a leaf from `start` failed: go back to the line on which it went wrong.

        A missing `;` makes two statements one slice; the second begins on a line of its own. Not within
        slices so long that trying line by line would take its time.
        """
        if failure.token is None or self.at - start > _LONGEST_RETRIED:
            return
        index = start
        while index < self.at and self.tokens[index] is not failure.token:
            index += 1
        for at in range(min(index, self.at - 1), start, -1):
            if self.tokens[at].type == "NAME" and self.new_line(at):
                self.at = at
                return

    def new_line(self, at: int) -> bool:
        """Whether a line ends between token `at` and the one before."""
        between = self.text[self.tokens[at - 1].end : self.tokens[at].start]
        return "\n" in between or "\r" in between

    def skipped(self, what: str, start: int) -> Skipped:
        """What was consumed from `start` on, as an item not understood."""
        return Skipped(what, names_in(self.tokens[start : self.at]), span=self.span(start))

    def skipped_as_too_deep(self, what: str, start: int) -> Skipped:
        """What was consumed from `start` on, as an item that nests too deep to be read."""
        return replace(self.skipped(what, start), too_deep=True)

    def skipped_statement(self, what: str, start: int) -> SkippedStatement:
        return SkippedStatement(what, names_in(self.tokens[start : self.at]), span=self.span(start))

    def parentheses(self) -> list[Token]:
        """The tokens inside the parentheses that open here; steps over them.

        Where they do not close before the next stop, all up to there.
        """
        begin = self.at + 1
        stop = self.next_stop()
        end = self.closing.get(self.at, stop)
        self.at = min(end + 1, stop)
        return self.tokens[begin : min(end, stop)]

    def at_unit(self) -> bool:
        """Whether a design unit begins here, whatever is still open."""
        kind = self.kind
        if kind == "ENTITY":
            return self.peek().type == "NAME" and self.peek(2).type == "IS"
        if kind == "ARCHITECTURE" or kind == "CONFIGURATION":
            return self.peek().type == "NAME" and self.peek(2).type == "OF"
        if kind == "LIBRARY":
            return True
        if kind == "PACKAGE":
            # Packages may be declared inside units; only one at the start of its line is taken as a new unit.
            before = self.text[self.token.start - 1 : self.token.start]
            return before in ("", "\n", "\r")
        return False

    def inside(self, kind: str) -> bool:
        """Whether a construct of this kind is open."""
        return any(each == kind for each, _ in self.opened)

    def open(self, kind: str, name: str = "") -> None:
        self.opened.append((kind, name))

    def indentation(self, at: int) -> int:
        """Blanks at the start of the line on which token `at` begins."""
        place = self.tokens[at].start
        start = max(self.text.rfind("\n", 0, place), self.text.rfind("\r", 0, place)) + 1
        line = self.text[start:place]
        return len(line) - len(line.lstrip())
