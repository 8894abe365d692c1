"""Association lists: `formal => actual`, with formals that are a part or a conversion of a port."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeAlias

from memlint.reading.facts.expressions import Attribute, Call, Cast, Expr, Member, Name, Open, Pattern, Slice
from memlint.text.source import Span

Associated: TypeAlias = tuple[list[Expr], Expr]
"""Choices (or the formal) before `=>`, and what stands after it."""
Element: TypeAlias = Expr | Associated

# What a formal's conversion is called in practice; `f(x) => y` with another f is element x of port f.
_CONVERSIONS = frozenset(
    """std_logic_vector std_ulogic_vector std_logic std_ulogic unsigned signed bit_vector boolean integer
    natural positive real to_integer to_bit to_bitvector to_bit_vector to_stdlogicvector to_stdulogicvector
    to_slv to_suv to_std_logic_vector to_std_ulogic_vector to_stdulogic to_x01 to_01""".split()
)


def is_range(node: Expr) -> bool:
    """Whether a node is a range on its own: a Slice of nothing."""
    return type(node) is Slice and type(node.base) is Name and not node.base.name


def named(elements: Iterable[Associated]) -> list[tuple[str, Expr, Span]]:
    """Formal names, actuals and where they stand, in order of first appearance.

    Formals associated part by part (`data(7 downto 0) => a, data(8) => b`, `rec.f => c`) become one, its
    actual a Pattern of (part, actual): a range, an index or the Name of a field. A formal in a conversion
    (`unsigned(q) => y`) counts as the formal itself.
    """
    spans: dict[str, Span] = {}
    values: dict[str, Expr] = {}
    parts: dict[str, list[tuple[Expr | None, Expr]]] = {}
    for keys, value in elements:
        for key in keys:
            name, part = _formal(key)
            span = key.span.to(value.span)
            spans[name] = spans[name].to(span) if name in spans else span
            values[name] = value
            if part is not None:
                parts.setdefault(name, []).append((part, value))
    for name, items in parts.items():
        values[name] = Pattern(tuple(items), span=spans[name])
    return [(name, value, spans[name]) for name, value in values.items()]


def _formal(key: Expr) -> tuple[str, Expr | None]:
    """The name of a formal and the part of it that is associated; None is all of it."""
    part: Expr | None = None
    while True:
        match key:
            case Name(name):
                return name, part
            case Call(Name(function), (inner,)) if function in _CONVERSIONS:
                key = inner
            case Call(base, (index,)):
                key, part = base, index
            case Call(base, arguments):
                key, part = base, Pattern(tuple((None, each) for each in arguments), span=key.span)
            case Slice(base, left, right, kind):
                key, part = base, Slice(Name("", span=key.span), left, right, kind, span=key.span)
            case Member(base, name):
                key, part = base, Name(name, span=key.span)
            case Cast(_, value):
                key = value
            case Attribute(prefix, _, _):
                key = prefix
            case Open():
                return "", part
            case _:
                return "", key
