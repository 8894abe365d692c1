"""Functions and procedures: declarations, bodies, instantiations; and all declarations together."""

from __future__ import annotations

from bisect import bisect_left

from memlint.reading.facts.expressions import DataType
from memlint.reading.facts.items import Item, Skipped, Subprogram
from memlint.reading.vhdl import parse
from memlint.reading.vhdl.cursor import Cursor
from memlint.reading.vhdl.declarations import READERS
from memlint.reading.vhdl.ends import close
from memlint.reading.vhdl.interfaces import generics, ports
from memlint.reading.vhdl.lexer import MAX_NESTING
from memlint.reading.vhdl.parse import Failure
from memlint.reading.vhdl.sequential import body

_AMONG_LOCALS = frozenset("SEMI VARIABLE CONSTANT TYPE SUBTYPE ALIAS ATTRIBUTE FILE IS".split())
_BEGINS = frozenset(("FUNCTION", "PROCEDURE", "PURE", "IMPURE"))


def is_declaration(kind: str) -> bool:
    """Whether a token of this type begins a declaration that `declaration` reads."""
    return kind in READERS or kind in _BEGINS


def declaration(cursor: Cursor) -> list[Item]:
    """The declaration that begins here, over its `;`."""
    reader = READERS.get(cursor.kind)
    return subprogram(cursor) if reader is None else reader(cursor)


def subprogram(cursor: Cursor) -> list[Item]:
    """From `function`, `procedure` or what stands before them, over the `;` or the `end …;`."""
    start = cursor.at
    if cursor.kind in ("PURE", "IMPURE"):
        cursor.at += 1
    function = cursor.accept("FUNCTION")
    if not function:
        cursor.accept("PROCEDURE")
    name = cursor.token
    if not (cursor.accept("NAME") or cursor.accept("STRING")):
        cursor.leaf()
        return [cursor.skipped("subprogram declaration", start)]
    if len(cursor.opened) >= MAX_NESTING:
        cursor.skip_statement()
        return [cursor.skipped_as_too_deep(f"declarations nested more than {MAX_NESTING} deep", start)]
    if cursor.kind == "IS" and cursor.peek().type == "NEW":
        cursor.at += 1
        cursor.leaf()
        return [cursor.skipped("subprogram instantiation", start)]
    rest: list[Item] = []
    if cursor.accept("GENERIC"):
        if cursor.accept("MAP"):
            cursor.parentheses()
        else:
            rest.extend(generics(cursor)[1])
            rest.append(Skipped("generic subprogram", (name.value,), span=name.span))
    cursor.accept_word("parameter")
    arguments, skipped = ports(cursor)
    rest.extend(skipped)
    result = _result(cursor) if function else None
    label = name.value.lower()
    if not cursor.accept("IS") and (cursor.accept("SEMI") or not _has_body(cursor)):
        return [*rest, Subprogram(label, result, tuple(arguments), (), None, span=name.span)]
    cursor.open("subprogram", label)
    items, block = body(cursor, subprogram)
    close(cursor)
    return [*rest, Subprogram(label, result, tuple(arguments), items, block, span=name.span)]


def _has_body(cursor: Cursor) -> bool:
    """Whether a body follows a head whose `is` or `;` is not there: declarations, then `begin`."""
    for at in range(bisect_left(cursor.stops, cursor.at), len(cursor.stops)):
        kind = cursor.tokens[cursor.stops[at]].type
        if kind not in _AMONG_LOCALS:
            return kind == "BEGIN"
    return False


def _result(cursor: Cursor) -> DataType:
    """The type after `return`."""
    if not cursor.accept("RETURN"):
        return DataType("unsupported", "missing return type")
    if cursor.kind == "NAME" and cursor.peek().type == "OF":
        cursor.at += 2
    stop = cursor.next_stop()
    tokens = cursor.tokens[cursor.at : stop]
    cursor.at = stop
    declared = parse.declaration(tokens)
    return DataType("unsupported", "unreadable return type") if isinstance(declared, Failure) else declared[0]
