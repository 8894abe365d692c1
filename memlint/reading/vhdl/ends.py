"""What an `end` closes, in code whose other `end`s may be missing or half typed."""

from __future__ import annotations

from memlint.reading.vhdl.cursor import Cursor
from memlint.reading.vhdl.tokens import Token

# What `end` closes, by the word after it.
_END_WORDS = {
    "IF": "if",
    "CASE": "case",
    "LOOP": "loop",
    "PROCESS": "process",
    "POSTPONED": "process",
    "GENERATE": "generate",
    "BLOCK": "block",
    "FUNCTION": "subprogram",
    "PROCEDURE": "subprogram",
    "ARCHITECTURE": "architecture",
    "ENTITY": "entity",
    "PACKAGE": "package",
    "CONFIGURATION": "configuration",
    "COMPONENT": "component",
    "RECORD": "record",
    "UNITS": "units",
    "FOR": "for",
}
# What a bare `end`, or one with a name, closes.
_PLAIN = frozenset(("architecture", "entity", "package", "subprogram", "alternative", "context", "component"))
_MAY_FOLLOW_END = frozenset((*_END_WORDS, "BODY", "NAME", "STRING", "ATOM", "QUERY"))


def closes(cursor: Cursor) -> int | None:
    """Which of `opened` the `end` here closes; None where it is a stray one."""
    word = cursor.peek()
    if word.type not in _END_WORDS or cursor.new_line(cursor.at + 1):
        return _plain_end(cursor, word)
    wanted = _END_WORDS[word.type]
    for at in range(len(cursor.opened) - 1, -1, -1):
        if cursor.opened[at][0] == wanted:
            return at
    return None


def _plain_end(cursor: Cursor, word: Token) -> int | None:
    """What an `end` closes that says no more than a name.

    Inside an if, case, loop or process, which say more, it is one being typed.
    """
    if cursor.new_line(cursor.at + 1):
        return None
    if word.type == "NAME" and word.value == "context":
        word = cursor.peek(2)
    name = word.value.lower() if word.type in ("NAME", "STRING") else ""
    for at in range(len(cursor.opened) - 1, -1, -1):
        if name and cursor.opened[at] in [(kind, name) for kind in _PLAIN]:
            return at
    if not cursor.opened:
        return None
    kind, opened_name = cursor.opened[-1]
    if kind not in _PLAIN:
        return None
    # A unit ends with its own name or none, and no deeper than it begins; what it holds is let off, so
    # that a subprogram does not eat the next.
    unit = len(cursor.opened) == 1
    if unit and name and opened_name:
        return None
    if unit and not name and cursor.new_line(cursor.at) and cursor.indentation(cursor.at) > cursor.margin:
        return None
    return len(cursor.opened) - 1


def close(cursor: Cursor) -> None:
    """Leave the innermost construct, over its `end …;` if that is what stands here."""
    if cursor.kind == "END" and closes(cursor) == len(cursor.opened) - 1:
        skip_end(cursor)
    cursor.opened.pop()


def skip_end(cursor: Cursor) -> None:
    """Step over an `end`, what may follow it on its line, and the `;`."""
    cursor.at += 1
    for _ in range(4):
        if cursor.kind not in _MAY_FOLLOW_END or cursor.new_line(cursor.at):
            break
        cursor.at += 1
    cursor.accept("SEMI")
