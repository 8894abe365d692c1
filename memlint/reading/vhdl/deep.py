"""Stepping over what nests too deep to be read."""

from __future__ import annotations

from memlint.reading.vhdl.cursor import Cursor

SEQUENTIAL = frozenset(("IF", "CASE", "LOOP"))
GENERATE = frozenset(("GENERATE",))


def skip_nested(cursor: Cursor, openers: frozenset[str]) -> None:
    """Step over a construct with all it holds; `openers` are the words that open one and follow its `end`."""
    depth = 0
    while cursor.kind != "EOF" and not cursor.at_unit():
        kind = cursor.kind
        if kind == "END":
            if cursor.peek().type not in openers:
                return
            depth -= 1
            cursor.skip_end()
            if depth <= 0:
                return
            continue
        if kind in openers:
            depth += 1
        cursor.at += 1
