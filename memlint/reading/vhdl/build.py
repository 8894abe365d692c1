"""What the rules of grammar/vhdl.lark build; the parser calls these, so no tree is made."""

from __future__ import annotations

from typing import Any

from memlint.reading.enclosed import Enclosed, bare
from memlint.reading.facts.expressions import (
    Attribute,
    Binary,
    Call,
    Cast,
    DataType,
    Expr,
    Member,
    Name,
    Number,
    Open,
    Pattern,
    Real,
    Slice,
    String,
    Unary,
)
from memlint.reading.vhdl import literals
from memlint.reading.vhdl.associations import is_range, named
from memlint.reading.vhdl.operators import Signed, reduction, resolve
from memlint.reading.vhdl.tokens import Token
from memlint.reading.vhdl.types import data_type
from memlint.text.source import Span

Children = list[Any]


class Build:
    """One method a rule or terminal, each given the list of what its parts became. Without state.

    Terminals that are not here stay tokens. Elements of parentheses are expressions, or
    (choices, value) tuples for those with `=>`.
    """

    def NAME(self, token: Token) -> Name:
        return Name(token.value, span=Span(token.file, token.start, token.end))

    def STRING(self, token: Token) -> String:
        return literals.string(token.value, token.span)

    def ATOM(self, token: Token) -> Expr:
        return literals.atom(token.value, token.span)

    def NULL(self, token: Token) -> Name:
        return Name("null", span=token.span)

    def OTHERS(self, token: Token) -> Name:
        return Name("others", span=token.span)

    def OPEN(self, token: Token) -> Open:
        return Open(span=token.span)

    BOX = UNAFFECTED = OPEN

    def one(self, c: Children) -> Children:
        return [c[0]]

    def more(self, c: Children) -> Children:
        c[0].append(c[2])
        return c[0]  # type: ignore[no-any-return]

    def first(self, c: Children) -> Any:
        return c[0]

    def alone(self, c: Children) -> Expr:
        operand = c[0]
        if type(operand) is Signed:
            return operand.closed()
        return operand.held if type(operand) is Enclosed else operand  # type: ignore[no-any-return]

    def kept(self, c: Children) -> Expr | Enclosed:
        operand = c[0]
        return operand.closed() if type(operand) is Signed else operand

    def bare(self, c: Children) -> Expr:
        return bare(c[0])  # type: ignore[no-any-return]

    def chain(self, c: Children) -> Children:
        c[1] = c[1].value
        return c

    def chain_more(self, c: Children) -> Children:
        chain: Children = c[0]
        chain.append(c[1].value)
        chain.append(c[2])
        return chain

    def resolved(self, c: Children) -> Expr:
        return resolve(c[0])

    def signed(self, c: Children) -> Signed:
        return Signed(c[0].value, c[1], c[0].start)

    def unary(self, c: Children) -> Expr | Enclosed:
        op: Token = c[0]
        if op.value == "??":
            # The condition operator only makes a boolean of a bit; a condition is one either way.
            return Enclosed(bare(c[1]), op.span.to(c[1].span))
        return Unary(op.value, bare(c[1]), span=op.span.to(c[1].span))

    def reduction(self, c: Children) -> Unary:
        return Unary(reduction(c[0].value), bare(c[1]), span=c[0].span.to(c[1].span))

    def allocator(self, c: Children) -> Call:
        return Call(Name("new", span=c[0].span), (bare(c[1]),), span=c[0].span.to(c[1].span))

    def physical(self, c: Children) -> Binary:
        return Binary("*", c[0], c[1], span=c[0].span.to(c[1].span))

    def call(self, c: Children) -> Expr:
        base, elements, closer = c[0], c[2], c[3]
        start: Span = base.span
        span = Span(start.file, start.start, closer.end)
        only = elements[0]
        if len(elements) == 1 and type(only) is Slice and is_range(only):
            return Slice(base, only.left, only.right, only.kind, span=span)
        if type(base) is String:
            base = Name(f'"{base.value.lower()}"', span=start)
        positional = tuple([each for each in elements if type(each) is not tuple])
        if type(base) is Attribute and not base.arguments:
            return Attribute(base.prefix, base.name, positional, span=span)
        if len(positional) == len(elements):
            return Call(base, positional, span=span)
        associated = named(each for each in elements if type(each) is tuple)
        by_name = tuple((name, value) for name, value, _ in associated)
        return Call(base, positional, named=by_name, span=span)

    def member(self, c: Children) -> Member:
        base, suffix = c[0], c[2]
        match suffix:
            case Name(name):
                pass
            case String(value, character):
                name = f"'{value}'" if character else f'"{value.lower()}"'
            case Number() | Real():
                name = "a number"
            case _:
                name = "external name"
        return Member(base, name, span=base.span.to(suffix.span))

    def attribute(self, c: Children) -> Attribute:
        return Attribute(c[0], c[2].name, (), span=c[0].span.to(c[2].span))

    def qualified(self, c: Children) -> Cast:
        return Cast(data_type(c[0]), bare(c[2]), span=c[0].span.to(c[2].span))

    def enclosed(self, c: Children) -> Expr | Enclosed:
        elements = c[1]
        only = elements[0]
        span = Span(c[0].file, c[0].start, c[2].end)
        if len(elements) == 1 and type(only) is not tuple:
            return Enclosed(only, span)
        items: list[tuple[Expr | None, Expr]] = []
        for element in elements:
            if type(element) is tuple:
                keys, value = element
                items.extend((key, value) for key in keys)
            else:
                items.append((None, element))
        return Pattern(tuple(items), span=span)

    def associated(self, c: Children) -> tuple[list[Expr], Expr]:
        return c[0], c[-1]

    def bounds(self, c: Children) -> Slice:
        left, way, right = c
        span = left.span.to(right.span)
        return Slice(Name("", span=span), bare(left), bare(right), way.value, span=span)

    def ranged(self, c: Children) -> Expr:
        """`subtype range <>` is of kind `box`; `subtype range a'range` is the attribute."""
        if type(c[2]) is not Open:
            return bare(c[2])  # type: ignore[no-any-return]
        span = c[0].span.to(c[2].span)
        return Slice(Name("", span=span), bare(c[0]), c[2], "box", span=span)

    def ranged_bounds(self, c: Children) -> Slice:
        return self.bounds(c[2:])

    def subtype(self, c: Children) -> DataType:
        return data_type(bare(c[0]))

    def resolved_subtype(self, c: Children) -> DataType:
        return data_type(bare(c[1]))

    def range_subtype(self, c: Children) -> DataType:
        return data_type(bare(c[0]), c[2])

    def resolved_range_subtype(self, c: Children) -> DataType:
        return data_type(bare(c[1]), c[3])

    def kind(self, c: Children) -> None:
        return None

    def declared(self, c: Children) -> tuple[DataType, Children | None]:
        return c[0], c[2] if len(c) > 1 else None

    def assignment(self, c: Children) -> tuple[Expr, Token, Children]:
        return bare(c[0]), c[1], c[2]

    def last_value(self, c: Children) -> Children:
        return [(c[0], c[2] if len(c) > 1 else None)]

    def more_values(self, c: Children) -> Children:
        """The list is built from its end, so it stays reversed."""
        rest: Children = c[4]
        rest.append((c[0], c[2]))
        return rest

    def arm(self, c: Children) -> tuple[Expr, list[Expr]]:
        return bare(c[0]), c[2]
