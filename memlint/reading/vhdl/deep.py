"""Stepping over what nests too deep to be read."""

from __future__ import annotations

from memlint.reading.vhdl.cursor import Cursor
from memlint.reading.vhdl.ends import skip_end

_COMPOUND = frozenset(("IF", "CASE", "LOOP"))


def skip_compound(cursor: Cursor) -> None:
    """Step over an if, case or loop with all it holds."""
    depth = 0
    while cursor.kind != "EOF" and not cursor.at_unit():
        kind = cursor.kind
        if kind == "END":
            if cursor.peek().type not in _COMPOUND:
                return
            depth -= 1
            skip_end(cursor)
            if depth <= 0:
                return
            continue
        depth += kind in _COMPOUND
        cursor.at += 1


def skip_generate(cursor: Cursor) -> None:
    """Step over a generate statement with all it holds."""
    depth = 0
    alternative = False
    while cursor.kind != "EOF" and not cursor.at_unit():
        match cursor.kind:
            case "END" if cursor.peek().type == "ARCHITECTURE":
                return
            case "END" if cursor.peek().type == "GENERATE":
                depth -= 1
                skip_end(cursor)
                if depth <= 0:
                    return
                continue
            case "ELSIF" | "ELSE":
                alternative = True
            case "GENERATE" | "SEMI" as kind:
                depth += kind == "GENERATE" and not alternative
                alternative = False
        cursor.at += 1
