"""Instances: the unit, its parameter overrides and its port connections."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from memlint.reading.facts.expressions import Dimension, Expr, Name, TypeArgument
from memlint.reading.facts.items import Connection, Instance, Item, Skipped
from memlint.reading.verilog import declarations, leaves
from memlint.reading.verilog.cursor import Cursor, split
from memlint.reading.verilog.leaves import BUILTIN_TYPES, ParseError, expression, names, slice_span
from memlint.reading.verilog.quick import LONGEST, Cut, Misfit, expect
from memlint.reading.verilog.quick import expression as quick_expression
from memlint.reading.verilog.tokens import Token
from memlint.text.source import Span

_END = Token("eof", "", "", 0, 0)
_TYPE_WORDS = BUILTIN_TYPES | {"struct", "enum", "union", "signed", "unsigned"}


def is_instance(cursor: Cursor) -> bool:
    """`unit [#(…)] name [dims] (`: the parenthesis tells an instance from a declaration."""
    at = cursor.at + 1
    tokens = cursor.tokens
    if tokens[at].kind == "op" and tokens[at].text == "#":
        at += 1
        if tokens[at].text != "(":
            return tokens[at].kind in ("num", "id") and tokens[min(at + 1, len(tokens) - 1)].kind == "id"
        close = cursor.close(at)
        if close is None:
            return True
        # `type #(…)::name` is a parametrised class, not an instance.
        return tokens[close + 1].kind == "id"
    if tokens[at].kind != "id":
        return False
    at += 1
    while tokens[at].kind == "op" and tokens[at].text == "[":
        close = cursor.close(at)
        if close is None:
            return False
        at = close + 1
    return tokens[at].kind == "op" and tokens[at].text == "("


def instances(cursor: Cursor) -> list[Item]:
    start = cursor.at
    unit = cursor.take().text
    overrides: tuple[Connection, ...] = ()
    if cursor.accept("#"):
        if cursor.is_op("("):
            held = cursor.inside()
            if held is None:
                return _unfinished_instance(cursor, start)
            overrides = connections(held)
        else:
            token = cursor.take()
            overrides = (Connection(None, expression([token]), span=slice_span([token])),)
    found: list[Item] = []
    while cursor.token.kind == "id":
        name = cursor.take()
        dimension_start = cursor.at
        while cursor.is_op("["):
            if cursor.inside() is None:
                return [*found, *_unfinished_instance(cursor, start)]
        dimensions = _dimensions(cursor.tokens[dimension_start : cursor.at])
        held = cursor.inside() if cursor.is_op("(") else None
        if held is None:
            return [*found, *_unfinished_instance(cursor, start)]
        span = Span(name.file, name.start, name.end)
        found.append(
            Instance(name.text, unit, overrides, connections(held), dimensions, span=span, statement=span)
        )
        if not cursor.accept(","):
            break
    cursor.accept(";")
    whole = cursor.span(start)
    return [replace(one, statement=whole) if isinstance(one, Instance) else one for one in found]


def _unfinished_instance(cursor: Cursor, start: int) -> list[Item]:
    cursor.at = start
    tokens, _done = declarations.statement_tokens(cursor)
    return [Skipped("an unfinished instance", names(tokens), span=cursor.span(start))]


def _dimensions(tokens: Sequence[Token]) -> tuple[Dimension, ...]:
    if not tokens:
        return ()
    name = tokens[0]._replace(kind="id", text="x")
    try:
        return leaves.declarator([name, *tokens]).dimensions
    except ParseError:
        return ()


def connections(tokens: Sequence[Token]) -> tuple[Connection, ...]:
    """Port connections or parameter overrides, by name or by order."""
    quick = quick_connections(tokens)
    if quick is not None:
        return tuple(quick)
    found: list[Connection] = []
    for part in split(tokens):
        while part and part[0].kind == "op" and part[0].text == "(*":
            end = next((at for at, one in enumerate(part) if one.text == "*)"), len(part) - 1)
            part = part[end + 1 :]
        if not part:
            found.append(Connection(None, None, span=Span("", 0, 0)))
            continue
        span = slice_span(part)
        first = part[0]
        if first.kind == "op" and first.text == ".*":
            found.append(Connection("*", None, span=span))
        elif first.kind == "op" and first.text == "." and len(part) > 1:
            if part[1].text == "*":
                found.append(Connection("*", None, span=span))
                continue
            found.append(Connection(part[1].text, _connected(part), span=span))
        else:
            found.append(Connection(None, _argument(part), span=span))
    # `unit u ();` has no connections rather than one empty one.
    if len(found) == 1 and found[0].name is None and found[0].value is None:
        return ()
    return tuple(found)


def quick_connections(tokens: Sequence[Token]) -> list[Connection] | None:
    """Connections as `.name(value)`, `.name`, `.*` or `value`; None where one is anything else."""
    cut = Cut([*tokens, _END])
    tokens = cut.tokens
    found: list[Connection] = []
    try:
        while True:
            found.append(_quick_connection(cut))
            if tokens[cut.at][0] == "eof":
                return found
            expect(cut, ",")
    except Misfit:
        return None


def _quick_connection(cut: Cut) -> Connection:
    tokens = cut.tokens
    begin = cut.at
    kind, text, file, start, end = tokens[begin]
    name: str | None = None
    value: Expr | None = None
    if kind == "op" and text == ".":
        kind, name, last_file, last_start, last_end = tokens[begin + 1]
        if kind != "id":
            raise Misfit
        cut.at += 2
        kind, text, _file, _start, _end = tokens[cut.at]
        if kind == "op" and text == "(":
            cut.at += 1
            kind, text, _file, _start, _end = tokens[cut.at]
            if kind != "op" or text != ")":
                value = quick_expression(cut)
            expect(cut, ")")
            _kind, _text, last_file, _start, last_end = tokens[cut.at - 1]
            span = Span(file, start, last_end if last_file == file and last_end > end else end)
        else:
            span = Span(file, start, last_end if last_file == file and last_end > end else end)
            value = Name(name, span=Span(last_file, last_start, last_end))
    elif kind == "op" and text == ".*":
        cut.at += 1
        name, span = "*", Span(file, start, end)
    else:
        value = quick_expression(cut)
        span = slice_span(tokens[begin : cut.at])
    if cut.at - begin > LONGEST:
        raise Misfit
    cut.depth = 0
    return Connection(name, value, span=span)


def _connected(part: Sequence[Token]) -> Expr | None:
    if len(part) == 2:
        return Name(part[1].text, span=slice_span(part[1:]))
    held = part[3:-1] if part[-1].text == ")" else part[3:]
    return _argument(held) if held else None


def _argument(tokens: Sequence[Token]) -> Expr:
    """An override may be a type (`.T(logic [3:0])`)."""
    first = tokens[0]
    if first.kind == "kw" and first.text in _TYPE_WORDS:
        following = tokens[1].text if len(tokens) > 1 else ""
        if following != "'":
            try:
                return TypeArgument(leaves.data_type(tokens), span=slice_span(tokens))
            except ParseError:
                return expression(tokens)
    return expression(tokens)
