"""Functions, tasks, and the declarations inside procedural blocks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from memlint.reading.facts.expressions import DataType
from memlint.reading.facts.items import Item, Port, Subprogram
from memlint.reading.facts.statements import Block, Statement
from memlint.reading.verilog import declarations, leaves
from memlint.reading.verilog.cursor import Cursor, find
from memlint.reading.verilog.leaves import ParseError
from memlint.reading.verilog.statements import statement
from memlint.reading.verilog.tokens import Token


def local_items(cursor: Cursor) -> list[Item]:
    """A declaration inside a procedural block."""
    word = cursor.token.text
    if cursor.token.kind == "kw" and word in ("localparam", "parameter", "typedef", "import"):
        tokens, _done = declarations.statement_tokens(cursor)
        if word == "typedef":
            return declarations.typedef(tokens[1:])
        if word == "import":
            return declarations.imports(tokens[1:])
        return list(declarations.parameters(tokens, word == "localparam"))
    tokens, _done = declarations.statement_tokens(cursor)
    return declarations.variables(tokens)


def subprogram(cursor: Cursor) -> Item:
    start = cursor.at
    is_task = cursor.take().text == "task"
    end_word = "endtask" if is_task else "endfunction"
    header_start = cursor.at
    header_end, done = cursor.statement_end()
    header = cursor.tokens[header_start : header_end - 1 if done else header_end]
    cursor.at = header_end
    while header and header[0].kind == "kw" and header[0].text in ("automatic", "static"):
        header = header[1:]
    opening = find(header, frozenset(("(",)))
    named = header if opening is None else header[:opening]
    arguments: list[Port] = []
    if opening is not None:
        arguments, _skipped = declarations.ports(header[opening + 1 : -1])
    locals_: list[Item] = []
    statements: list[Statement] = []
    while not cursor.ended and not cursor.is_word(end_word):
        if cursor.token.kind == "kw" and cursor.token.text in (
            "endmodule",
            "endpackage",
            "endinterface",
            "module",
        ):
            break
        before = cursor.at
        if cursor.token.kind == "kw" and cursor.token.text in declarations.DIRECTIONS:
            tokens, _done = declarations.statement_tokens(cursor)
            arguments.extend(declarations.port_declaration(tokens)[0])
        else:
            one = statement(cursor, local_items)
            if isinstance(one, Block) and one.items and not one.statements and not one.label:
                locals_.extend(one.items)
            elif one is not None:
                statements.append(one)
        if cursor.at == before:
            cursor.take()
    if cursor.is_word(end_word):
        cursor.take()
        if cursor.is_op(":"):
            cursor.take()
            cursor.take()
    span = cursor.span(start)
    name, result = _signature(named, is_task)
    arguments = [replace(one, direction=one.direction or "input") for one in arguments]
    return Subprogram(
        name, result, tuple(arguments), tuple(locals_), Block(tuple(statements), span=span), span=span
    )


def _signature(tokens: Sequence[Token], is_task: bool) -> tuple[str, DataType | None]:
    if not tokens:
        return "", None
    if tokens[-1].kind == "id" and len(tokens) > 1:
        try:
            typed = leaves.typed(tokens)
        except ParseError:
            return tokens[-1].text, None if is_task else declarations.IMPLICIT
        return typed.name, None if is_task else (typed.type or declarations.IMPLICIT)
    return tokens[-1].text, None if is_task else declarations.IMPLICIT
