"""A place in a token stream, with brackets paired beforehand, and the cuts a structural scan makes."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import compress, count
from operator import itemgetter

from memlint.reading.verilog.tokens import Token
from memlint.text.source import Span

_CLOSERS = {"(": ")", "[": "]", "{": "}", "'{": "}", "(*": "*)"}
_CLOSING = frozenset(_CLOSERS.values())
# Words that never stand inside a declaration, an assignment or a connection list: where one of them
# appears, the statement before it was left unfinished, and reading goes on from there.
STOPS = frozenset(
    """
    module macromodule endmodule interface endinterface package endpackage program endprogram primitive
    endprimitive always always_comb always_ff always_latch initial final assign generate endgenerate
    begin end case casez casex endcase function endfunction task endtask for while repeat forever if
    else localparam parameter typedef genvar specify endspecify fork join join_any join_none return
    endclass class endproperty endsequence endclocking endgroup endchecker disable modport import
    """.split()
)


class Cursor:
    """Tokens and the index of the next one. Slices are lists of tokens."""

    __slots__ = ("_last_end", "at", "pairs", "tokens")

    def __init__(self, tokens: Sequence[Token]) -> None:
        self.tokens = tokens
        self.at = 0
        self.pairs = _pair(tokens)
        # Where the last search for an end began (behind the last bracket it skipped), and what it found.
        self._last_end = (0, 0, False)

    @property
    def token(self) -> Token:
        return self.tokens[self.at]

    def peek(self, ahead: int = 1) -> Token:
        """The token so many places on; the last token (eof) past the end."""
        return self.tokens[min(self.at + ahead, len(self.tokens) - 1)]

    def take(self) -> Token:
        token = self.tokens[self.at]
        if self.at < len(self.tokens) - 1:
            self.at += 1
        return token

    def accept(self, text: str) -> bool:
        """Step over the next token if it is this operator or keyword."""
        token = self.tokens[self.at]
        if token.text == text and token.kind in ("op", "kw"):
            self.take()
            return True
        return False

    def is_word(self, text: str) -> bool:
        token = self.tokens[self.at]
        return token.kind == "kw" and token.text == text

    def is_op(self, text: str) -> bool:
        token = self.tokens[self.at]
        return token.kind == "op" and token.text == text

    @property
    def ended(self) -> bool:
        return self.tokens[self.at].kind == "eof"

    def close(self, at: int | None = None) -> int | None:
        """Index of the bracket that closes the one at `at` (default: here); None when it never closes."""
        return self.pairs.get(self.at if at is None else at)

    def inside(self) -> Sequence[Token] | None:
        """Step over a bracketed group and return what it holds; None (and no step) if it never closes."""
        end = self.close()
        if end is None:
            return None
        held = self.tokens[self.at + 1 : end]
        self.at = end + 1
        return held

    def statement_end(self) -> tuple[int, bool]:
        """Index just past the statement starting here, and whether a `;` ended it.

        An unfinished statement ends before the next word that can only start another one, or before
        a name that starts a line's own declaration keyword.
        """
        at = self.at
        begun, end, done = self._last_end
        if begun <= at < end:
            # Every place on the way of a search has the same end; to search again would be quadratic.
            return end, done
        begun = at
        tokens = self.tokens
        pairs = self.pairs
        first = True
        while True:
            kind, text, _file, _start, _end = tokens[at]
            if kind == "op":
                if text == ";":
                    self._last_end = (begun, at + 1, True)
                    return at + 1, True
                if text in _CLOSERS:
                    close = pairs.get(at)
                    if close is not None:
                        begun = at = close + 1
                        first = False
                        continue
            elif kind == "eof" or (kind == "kw" and not first and text in STOPS):
                self._last_end = (begun, at, False)
                return at, False
            first = False
            at += 1

    def span(self, start: int, end: int | None = None) -> Span:
        """The span of tokens [start, end); `end` defaults to here."""
        stop = self.at if end is None else end
        _kind, _text, file, begins, ends = self.tokens[start]
        if stop > start:
            _kind, _text, last_file, _start, last_end = self.tokens[stop - 1]
            if last_file == file and last_end > ends:
                ends = last_end
        return Span(file, begins, ends)


def _pair(tokens: Sequence[Token]) -> dict[int, int]:
    pairs: dict[int, int] = {}
    stack: list[tuple[str, int]] = []
    # How many of each closer the stack waits for: to search it for every stray one would be quadratic.
    waiting = dict.fromkeys(_CLOSING, 0)
    for at in compress(count(), map(_PAIRED.__contains__, map(_TEXT, tokens))):
        kind, text, _file, _start, _end = tokens[at]
        if kind != "op":
            # A bracket still open where a process or a unit starts was never closed.
            if kind == "kw" and stack and text in _BARRIERS:
                stack.clear()
                waiting = dict.fromkeys(_CLOSING, 0)
            continue
        if text in _CLOSERS:
            stack.append((_CLOSERS[text], at))
            waiting[_CLOSERS[text]] += 1
        elif waiting[text]:
            while stack[-1][0] != text:
                waiting[stack.pop()[0]] -= 1
            waiting[text] -= 1
            pairs[stack.pop()[1]] = at
    return pairs


_BARRIERS = frozenset(
    """
    module endmodule always always_comb always_ff always_latch initial assign generate endgenerate
    endpackage endinterface endfunction endtask endcase end
    """.split()
)


_PAIRED = _BARRIERS | _CLOSING | _CLOSERS.keys()
_TEXT = itemgetter(1)


def split(tokens: Sequence[Token], separator: str = ",") -> list[Sequence[Token]]:
    """Cut a slice at a separator that stands outside all brackets; no empty list for an empty slice."""
    parts: list[Sequence[Token]] = []
    depth = 0
    start = 0
    at = -1
    for kind, text, _file, _start, _end in tokens:
        at += 1
        if kind != "op":
            continue
        if text in _CLOSERS:
            depth += 1
        elif text in _CLOSING:
            depth -= 1
        elif text == separator and depth == 0:
            parts.append(tokens[start:at])
            start = at + 1
    if start < len(tokens) or parts:
        parts.append(tokens[start:])
    return parts


def find(tokens: Sequence[Token], wanted: frozenset[str], start: int = 0) -> int | None:
    """Index of the first of these operators outside all brackets."""
    depth = 0
    for at in range(start, len(tokens)):
        kind, text, _file, _start, _end = tokens[at]
        if kind != "op":
            continue
        if depth == 0 and text in wanted:
            return at
        if text in _CLOSERS:
            depth += 1
        elif text in _CLOSING:
            depth -= 1
    return None
