"""Generate statements: for, if with its alternatives, case."""

from __future__ import annotations

from collections.abc import Callable

from memlint.reading.facts.expressions import Expr
from memlint.reading.facts.items import GenerateBlock, GenerateCase, GenerateFor, GenerateIf, Item
from memlint.reading.vhdl import parse
from memlint.reading.vhdl.cursor import Cursor
from memlint.reading.vhdl.deep import skip_generate
from memlint.reading.vhdl.ends import close, closes, skip_end
from memlint.reading.vhdl.lexer import MAX_NESTING
from memlint.reading.vhdl.sequential import when_choices
from memlint.reading.vhdl.simple import condition
from memlint.reading.vhdl.tokens import Token
from memlint.text.source import Span

ItemsReader = Callable[[Cursor], list[Item]]


def generate(cursor: Cursor, start: int, label: Token, items: ItemsReader) -> Item:
    """From the `for`, `if` or `case` after a label over `end generate …;`. `items` reads what is inside.

    All alternatives carry the label of the statement: it alone is part of a path name.
    """
    if len(cursor.opened) >= MAX_NESTING:
        skip_generate(cursor)
        return cursor.skipped_as_too_deep(f"generates nested more than {MAX_NESTING} deep", start)
    match cursor.kind:
        case "FOR":
            return _for(cursor, label, items)
        case "CASE":
            return _case(cursor, label, items)
    return _if(cursor, start, label, items)


def _for(cursor: Cursor, label: Token, items: ItemsReader) -> Item:
    cursor.at += 1
    variable = cursor.name()
    cursor.accept("IN")
    span = cursor.here()
    bounds = parse.discrete_range(cursor.until("GENERATE"), span)
    cursor.open("generate", label.value)
    block = _alternative(cursor, label, items)
    close(cursor)
    return GenerateFor(variable, bounds, None, None, block, span=label.span)


def _if(cursor: Cursor, start: int, label: Token, items: ItemsReader) -> Item:
    cursor.open("generate", label.value)
    arms: list[tuple[Expr | None, GenerateBlock, Span]] = []
    while cursor.kind in ("IF", "ELSIF") and (cursor.kind == "ELSIF" or not arms):
        where = cursor.token.span
        cursor.at += 1
        _alternative_label(cursor)
        given = condition(cursor, "GENERATE")
        arms.append((given, _alternative(cursor, label, items), where))
    if cursor.kind == "ELSE":
        where = cursor.token.span
        cursor.at += 1
        _alternative_label(cursor)
        cursor.accept("GENERATE")
        arms.append((None, _alternative(cursor, label, items), where))
    close(cursor)
    if len(arms) > MAX_NESTING:
        return cursor.skipped(f"if generate with more than {MAX_NESTING} alternatives", start)
    otherwise: GenerateBlock | None = None
    result: GenerateIf | None = None
    for asked, block, where in reversed(arms):
        if asked is None:
            otherwise = block
            continue
        result = GenerateIf(asked, block, otherwise, span=label.span if where is arms[0][2] else where)
        otherwise = GenerateBlock("", (result,), span=where, bare=True)
    assert result is not None
    return result


def _case(cursor: Cursor, label: Token, items: ItemsReader) -> Item:
    cursor.at += 1
    cursor.accept("QUERY")
    subject = condition(cursor, "GENERATE")
    cursor.open("generate", label.value)
    arms: list[tuple[tuple[Expr, ...], GenerateBlock]] = []
    while cursor.kind == "WHEN":
        if cursor.peek().type == "NAME" and cursor.peek(2).type == "COLON":
            cursor.at += 2
        choices = when_choices(cursor)
        arms.append((choices, _alternative(cursor, label, items)))
    close(cursor)
    return GenerateCase(subject, tuple(arms), span=label.span)


def _alternative_label(cursor: Cursor) -> None:
    if cursor.kind == "NAME" and cursor.peek().type == "COLON":
        cursor.at += 2


def _alternative(cursor: Cursor, label: Token, items: ItemsReader) -> GenerateBlock:
    """The items of one alternative, which may have an `end [label];` of its own."""
    cursor.open("alternative", label.value)
    inner = items(cursor)
    if cursor.kind == "END" and closes(cursor) == len(cursor.opened) - 1:
        skip_end(cursor)
    cursor.opened.pop()
    return GenerateBlock(label.value, tuple(inner), span=label.span)
