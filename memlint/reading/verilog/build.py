"""From the reductions of grammar/systemverilog.lark to the nodes of memlint.reading.facts.

Each method is called as its rule is reduced; no tree is ever built.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from memlint.reading.enclosed import Enclosed, bare
from memlint.reading.facts.expressions import (
    Call,
    Cast,
    Concat,
    Conditional,
    DataType,
    Dimension,
    EnumMember,
    Expr,
    Field,
    Index,
    Inside,
    Member,
    Name,
    Open,
    Pattern,
    Replicate,
    Scoped,
    Slice,
    String,
    TypeArgument,
    Unary,
    Unsupported,
)
from memlint.reading.verilog.folding import fold, names_in
from memlint.reading.verilog.literals import number
from memlint.reading.verilog.typed import SIGNED, Typed
from memlint.text.source import Span


@dataclass(frozen=True, slots=True)
class _Named:
    """An argument given by name."""

    name: str
    value: Expr | None


class Build:
    """Callbacks for every rule that is not inlined."""

    def bare(self, c: list[Any]) -> Expr:
        return bare(c[0])  # type: ignore[no-any-return]

    def enclosed(self, c: list[Any]) -> Enclosed:
        return Enclosed(c[1], c[0].span.to(c[2].span))

    def conditional(self, c: list[Any]) -> Expr:
        return Conditional(bare(c[0]), c[1], bare(c[2]), span=c[0].span.to(c[2].span))

    def chain(self, c: list[Any]) -> Expr:
        operands = c[0::2]
        return fold([bare(one) for one in operands], c[1::2], [one.span for one in operands])

    def operator(self, c: list[Any]) -> str:
        return str(c[0].text)

    def membership(self, c: list[Any]) -> Expr:
        return Inside(bare(c[0]), tuple(c[3:-1]), span=c[0].span.to(c[-1].span))

    def range_between(self, c: list[Any]) -> Expr:
        span = c[0].span.to(c[3].span)
        return Slice(Name("", span=span), c[1], c[2], ":", span=span)

    def unary(self, c: list[Any]) -> Expr:
        op = "~^" if c[0].text == "^~" else c[0].text
        return Unary(op, bare(c[1]), span=c[0].span.to(c[1].span))

    def index(self, c: list[Any]) -> Expr:
        return Index(bare(c[0]), c[2], span=c[0].span.to(c[3].span))

    def slice(self, c: list[Any]) -> Expr:
        return Slice(bare(c[0]), c[2], c[3], ":", span=c[0].span.to(c[4].span))

    def indexed_slice(self, c: list[Any]) -> Expr:
        return Slice(bare(c[0]), c[2], c[4], c[3].text, span=c[0].span.to(c[5].span))

    def member(self, c: list[Any]) -> Expr:
        return Member(bare(c[0]), c[1].text, span=c[0].span.to(c[1].span))

    def call(self, c: list[Any]) -> Expr:
        return _call(bare(c[0]), c[2], c[0].span.to(c[3].span))

    def cast(self, c: list[Any]) -> Expr:
        return _cast(c[0], c[2], c[3].span)

    def typed_pattern(self, c: list[Any]) -> Expr:
        return _cast(c[0], c[1], c[1].span)

    def number(self, c: list[Any]) -> Expr:
        token = c[0]
        value = number(token.text, token.span)
        return value if value is not None else Unsupported(f"the literal {token.text}", (), span=token.span)

    def string(self, c: list[Any]) -> Expr:
        return String(c[0].text, span=c[0].span)

    def name(self, c: list[Any]) -> Expr:
        return Name(c[0].text, span=c[0].span)

    def open(self, c: list[Any]) -> Expr:
        return Open(span=c[0].span)

    def scoped(self, c: list[Any]) -> Expr:
        return Scoped(c[0].text, c[1].text, span=c[0].span.to(c[1].span))

    def system_call(self, c: list[Any]) -> Expr:
        return _call(Name(c[0].text, span=c[0].span), c[2], c[0].span.to(c[3].span))

    def system_name(self, c: list[Any]) -> Expr:
        return Call(Name(c[0].text, span=c[0].span), (), span=c[0].span)

    def typical(self, c: list[Any]) -> Enclosed:
        return Enclosed(c[2], c[0].span.to(c[4].span))

    def concat(self, c: list[Any]) -> Expr:
        return Concat(tuple(c[1:-1]), span=c[0].span.to(c[-1].span))

    def empty_concat(self, c: list[Any]) -> Expr:
        return Unsupported("an empty concatenation", (), span=c[0].span.to(c[1].span))

    def replicate(self, c: list[Any]) -> Expr:
        return Replicate(c[1], tuple(c[3:-2]), span=c[0].span.to(c[-1].span))

    def streaming(self, c: list[Any]) -> Expr:
        parts = c[4:-2]
        span = c[0].span.to(c[-1].span)
        if c[1].text == ">>":
            # Streamed from left to right the parts join as they stand (IEEE Std 1800-2017, 11.4.14).
            return Concat(tuple(parts), span=span)
        return Unsupported("a streaming concatenation", names_in(parts), span=span)

    def stream_size(self, c: list[Any]) -> Any:
        return c[0]

    def builtin_cast(self, c: list[Any]) -> Expr:
        target = DataType("builtin", c[0].text, span=c[0].span)
        return Cast(target, c[2], span=c[0].span.to(c[3].span))

    def sign_cast(self, c: list[Any]) -> Expr:
        target = DataType("implicit", c[0].text, signed=c[0].text == "signed", span=c[0].span)
        return Cast(target, c[2], span=c[0].span.to(c[3].span))

    def arguments(self, c: list[Any]) -> list[Any]:
        return c

    def no_argument(self, c: list[Any]) -> None:
        return None

    def named_argument(self, c: list[Any]) -> _Named:
        return _Named(c[0].text, c[2])

    def type_argument(self, c: list[Any]) -> Expr:
        last = c[-1] or c[0]
        return TypeArgument(self.builtin_type(c), span=c[0].span.to(last.span))

    def pattern(self, c: list[Any]) -> Expr:
        return Pattern(tuple(c[1:-1]), span=c[0].span.to(c[-1].span))

    def repeated_pattern(self, c: list[Any]) -> Expr:
        items = tuple((None, one) for one in c[3:-2])
        return Pattern(items, repeat=c[1], span=c[0].span.to(c[-1].span))

    def positional(self, c: list[Any]) -> tuple[Expr | None, Expr]:
        return None, c[0]

    def keyed(self, c: list[Any]) -> tuple[Expr | None, Expr]:
        return c[0], c[1]

    def default_item(self, c: list[Any]) -> tuple[Expr | None, Expr]:
        return Name("default", span=c[0].span), c[1]

    def type_item(self, c: list[Any]) -> tuple[Expr | None, Expr]:
        return TypeArgument(DataType("builtin", c[0].text, span=c[0].span), span=c[0].span), c[1]

    # --- data types ---

    def builtin_type(self, c: list[Any]) -> DataType:
        sign = c[1]
        signed = sign.text == "signed" if sign is not None else c[0].text in SIGNED
        return DataType("builtin", c[0].text, signed=signed, dimensions=tuple(c[2:]), span=c[0].span)

    def implicit_type(self, c: list[Any]) -> DataType:
        if isinstance(c[0], Dimension):
            return DataType("implicit", dimensions=tuple(c), span=c[0].span)
        signed = c[0].text == "signed"
        return DataType("implicit", signed=signed, dimensions=tuple(c[1:]), span=c[0].span)

    def named_type(self, c: list[Any]) -> DataType:
        scope, name, span = c[0]
        return DataType("named", name, scope, dimensions=tuple(c[1:]), span=span)

    def path(self, c: list[Any]) -> tuple[str, str, Span]:
        if len(c) == 1:
            return "", c[0].text, c[0].span
        return c[0].text, c[1].text, c[0].span.to(c[1].span)

    def parametrised_path(self, c: list[Any]) -> tuple[str, str, Span]:
        # A parametrised class scope has no place in a memory's shape; resolving it says so by name.
        return c[0].text + "#(…)", c[2].text, c[0].span.to(c[2].span)

    def parameter_values(self, c: list[Any]) -> Any:
        return c[1]

    def struct_type(self, c: list[Any]) -> DataType:
        members = [one for one in c[3:] if isinstance(one, list)]
        fields = tuple(field for member in members for field in member)
        dimensions = tuple(one for one in c[3:] if isinstance(one, Dimension))
        return DataType(
            c[0].text,
            packed=c[1] is not None,
            signed=c[2] is not None and c[2].text == "signed",
            fields=fields,
            dimensions=dimensions,
            span=c[0].span,
        )

    def struct_member(self, c: list[Any]) -> list[Field]:
        first: Typed = c[0]
        kind = first.type or DataType("named", first.name, span=first.span)
        return [Field(one.name, kind, one.dimensions, span=one.span) for one in c]

    def enum_type(self, c: list[Any]) -> DataType:
        members = tuple(one for one in c[2:] if isinstance(one, EnumMember))
        dimensions = tuple(one for one in c[2:] if isinstance(one, Dimension))
        return DataType("enum", element=c[1], members=members, dimensions=dimensions, span=c[0].span)

    def enum_base(self, c: list[Any]) -> DataType:
        return c[0]  # type: ignore[no-any-return]

    def enum_member(self, c: list[Any]) -> EnumMember:
        token, _opening, first, _last, _closing, value = c
        # `A[4]` declares A0 to A3; such ranges do not occur in sizes and are kept as one name.
        return EnumMember(token.text, value if first is None else None, span=token.span)

    def virtual_type(self, c: list[Any]) -> DataType:
        return DataType("unsupported", "a virtual interface", span=c[0].span)

    def type_of(self, c: list[Any]) -> DataType:
        return DataType("unsupported", "type(…)", span=c[0].span)

    def range_dimension(self, c: list[Any]) -> Dimension:
        return Dimension(c[1], c[2], ":", span=c[0].span.to(c[3].span))

    def size_dimension(self, c: list[Any]) -> Dimension:
        kind = "dynamic" if isinstance(c[1], Open) else "size"
        return Dimension(c[1], None, kind, span=c[0].span.to(c[2].span))

    def dynamic_dimension(self, c: list[Any]) -> Dimension:
        span = c[0].span.to(c[-1].span)
        return Dimension(Open(span=span), None, "dynamic", span=span)

    # --- declarations ---

    def typed_builtin(self, c: list[Any]) -> Typed:
        return Typed(c[0], c[1].text, c[1].span, tuple(c[2:-1]), c[-1])

    def typed_bare(self, c: list[Any]) -> Typed:
        kind: DataType = c[0]
        assert kind.span is not None
        return Typed(None, kind.name, kind.span, kind.dimensions, c[1])

    def typed_modport(self, c: list[Any]) -> Typed:
        kind = DataType("interface", c[0].text, c[1].text, span=c[0].span)
        return Typed(kind, c[2].text, c[2].span, tuple(c[3:]), None)

    def typed_interface(self, c: list[Any]) -> Typed:
        kind = DataType("interface", "", c[1] or "", span=c[0].span)
        return Typed(kind, c[2].text, c[2].span, tuple(c[3:]), None)

    def modport(self, c: list[Any]) -> str:
        return str(c[0].text)

    def declarator(self, c: list[Any]) -> Typed:
        return Typed(None, c[0].text, c[0].span, tuple(c[1:-1]), c[-1])

    def type_parameter(self, c: list[Any]) -> Typed:
        kind: DataType | None = c[1]
        value = TypeArgument(kind, span=kind.span or c[0].span) if kind is not None else None
        return Typed(None, c[0].text, c[0].span, (), value)


def _cast(target: Any, value: Expr, end: Span) -> Expr:
    span = target.span.to(end)
    target = bare(target)
    if isinstance(target, Name):
        target = DataType("named", target.name, span=target.span)
    elif isinstance(target, Scoped):
        target = DataType("named", target.name, target.scope, span=target.span)
    return Cast(target, value, span=span)


def _call(function: Expr, arguments: list[Any], span: Span) -> Expr:
    positional: list[Expr] = []
    named: list[tuple[str, Expr]] = []
    for one in arguments:
        if one is None:
            if len(arguments) > 1:
                positional.append(Open(span=function.span))
            continue
        if isinstance(one, _Named):
            named.append((one.name, one.value if one.value is not None else Open(span=function.span)))
            continue
        positional.append(one)
    return Call(function, tuple(positional), named=tuple(named), span=span)
