"""Generate constructs; the items inside are read by the caller's function."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from memlint.reading.facts.expressions import Binary, Expr
from memlint.reading.facts.items import GenerateBlock, GenerateCase, GenerateFor, GenerateIf, Item, Skipped
from memlint.reading.facts.statements import Assign
from memlint.reading.verilog import declarations
from memlint.reading.verilog.assignments import assignment
from memlint.reading.verilog.cursor import Cursor, find, split
from memlint.reading.verilog.leaves import DEEPEST, expression, names
from memlint.reading.verilog.statements import case_choice

# More `else if`s than this in a row nest deeper than a tree of them can be walked.
MOST_LINKS = 400
Items = Callable[[Cursor, "frozenset[str] | None", int], "list[Item]"]


def generate(cursor: Cursor, depth: int, read: Items) -> list[Item]:
    start = cursor.at
    if depth > DEEPEST:
        tokens, _done = declarations.statement_tokens(cursor)
        what = f"generate blocks nested deeper than {DEEPEST}"
        return [Skipped(what, names(tokens), span=cursor.span(start), too_deep=True)]
    match cursor.token.text:
        case "generate":
            cursor.take()
            found = read(cursor, frozenset(("endgenerate", "endmodule", "endinterface")), depth + 1)
            cursor.accept("endgenerate")
            return found
        case "begin":
            block = _generate_block(cursor, depth, read)
            return [block] if block.label else list(block.items)
        case "if":
            return _generate_if(cursor, depth, read)
        case "for":
            return _generate_for(cursor, depth, read)
        case _:
            return _generate_case(cursor, depth, read)


def _generate_block(cursor: Cursor, depth: int, read: Items) -> GenerateBlock:
    start = cursor.at
    if not cursor.is_word("begin"):
        label = ""
        if cursor.token.kind == "id" and cursor.peek().text == ":" and cursor.peek(2).text == "begin":
            label = cursor.take().text
            cursor.take()
            block = _generate_block(cursor, depth, read)
            return replace(block, label=block.label or label)
        found = read(cursor, None, depth + 1)
        return GenerateBlock(label, tuple(found), span=cursor.span(start), bare=True)
    cursor.take()
    label = ""
    if cursor.accept(":") and cursor.token.kind == "id":
        label = cursor.take().text
    found = read(cursor, frozenset(("end", "endgenerate", "endmodule", "endinterface")), depth + 1)
    if cursor.accept("end") and cursor.is_op(":"):
        cursor.take()
        cursor.take()
    return GenerateBlock(label, tuple(found), span=cursor.span(start))


def _generate_if(cursor: Cursor, depth: int, read: Items) -> list[Item]:
    """An `if` with all its `else if`s, read one after the other: tables of hard macros have hundreds."""
    start = cursor.at
    links: list[tuple[int, Expr, GenerateBlock]] = []
    otherwise: GenerateBlock | None = None
    while True:
        at = cursor.at
        cursor.take()
        held = cursor.inside() if cursor.is_op("(") else None
        if held is None:
            tokens, _done = declarations.statement_tokens(cursor)
            unfinished = Skipped("an unfinished generate `if`", names(tokens), span=cursor.span(at))
            if not links:
                return [unfinished]
            otherwise = GenerateBlock("", (unfinished,), span=cursor.span(at), bare=True)
            break
        links.append((at, expression(held), _generate_block(cursor, depth + 1, read)))
        if not cursor.accept("else"):
            break
        if not cursor.is_word("if"):
            otherwise = _generate_block(cursor, depth + 1, read)
            break
    if len(links) > MOST_LINKS:
        tokens = cursor.tokens[start : cursor.at]
        what = f"a generate `if` with more than {MOST_LINKS} branches"
        return [Skipped(what, names(tokens), span=cursor.span(start))]
    end = cursor.at
    for at, condition, then in reversed(links):
        span = cursor.span(at, end)
        item = GenerateIf(condition, then, otherwise, span=span)
        otherwise = GenerateBlock("", (item,), span=span, bare=True)
    return [item]


def _generate_for(cursor: Cursor, depth: int, read: Items) -> list[Item]:
    start = cursor.at
    cursor.take()
    held = cursor.inside() if cursor.is_op("(") else None
    parts = split(held, ";") if held is not None else []
    if len(parts) != 3:
        tokens, _done = declarations.statement_tokens(cursor)
        return [Skipped("an unfinished generate `for`", names(tokens), span=cursor.span(start))]
    body = _generate_block(cursor, depth + 1, read)
    span = cursor.span(start)
    equals = find(parts[0], frozenset(("=",)))
    if not equals:
        return [Skipped("a generate `for` without a start value", names(parts[0]), span=span)]
    variable = parts[0][equals - 1].text
    step = assignment(parts[2]) if parts[2] else None
    following: Expr | None = None
    if isinstance(step, Assign):
        following = Binary(step.op, step.target, step.value, span=span) if step.op else step.value
    if following is None:
        return [Skipped("a generate `for` without a step", names(parts[0]), span=span)]
    first = expression(parts[0][equals + 1 :])
    return [GenerateFor(variable, first, expression(parts[1]), following, body, span=span)]


def _generate_case(cursor: Cursor, depth: int, read: Items) -> list[Item]:
    start = cursor.at
    cursor.take()
    held = cursor.inside() if cursor.is_op("(") else None
    if held is None:
        tokens, _done = declarations.statement_tokens(cursor)
        return [Skipped("an unfinished generate `case`", names(tokens), span=cursor.span(start))]
    arms: list[tuple[tuple[Expr, ...], GenerateBlock]] = []
    while not cursor.ended and not cursor.is_word("endcase"):
        if cursor.token.kind == "kw" and cursor.token.text in ("endmodule", "endgenerate", "module"):
            break
        before = cursor.at
        if cursor.accept("default"):
            cursor.accept(":")
            arms.append(((), _generate_block(cursor, depth + 1, read)))
        else:
            end, _done = cursor.statement_end()
            colon = find(cursor.tokens[before:end], frozenset((":",)))
            if colon is not None:
                choices = tuple(case_choice(part) for part in split(cursor.tokens[before : before + colon]))
                cursor.at = before + colon + 1
                arms.append((choices, _generate_block(cursor, depth + 1, read)))
        if cursor.at == before:
            cursor.take()
    cursor.accept("endcase")
    return [GenerateCase(expression(held), tuple(arms), span=cursor.span(start))]
