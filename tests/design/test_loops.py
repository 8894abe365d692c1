"""Counted loops: the short way for the usual form gives what going round by round gives."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from memlint.design import loops
from memlint.design.scope import Scope
from memlint.design.values import Unknown
from memlint.reading.facts.expressions import Binary, Expr, Name, Number, Unary
from memlint.text.source import Span

SPAN = Span("a.sv", 0, 0)


def number(value: int) -> Expr:
    if value < 0:
        return Unary("-", number(-value), span=SPAN)
    return Number(value, None, True, span=SPAN)


@given(
    st.integers(-20, 40),
    st.integers(-20, 40),
    st.sampled_from(("<", "<=", ">", ">=", "!=")),
    st.sampled_from(("+", "-")),
    st.integers(1, 5),
)
def test_the_values_are_those_of_the_loop_written_in_python(
    first: int, limit: int, compare: str, op: str, step: int
) -> None:
    expected: list[int] = []
    value = first
    holds = {
        "<": lambda v: v < limit,
        "<=": lambda v: v <= limit,
        ">": lambda v: v > limit,
        ">=": lambda v: v >= limit,
        "!=": lambda v: v != limit,
    }[compare]
    while holds(value) and len(expected) <= 200:
        expected.append(value)
        value = value + step if op == "+" else value - step
    scope = Scope("systemverilog", None, lambda library, name: None)
    name = Name("i", span=SPAN)
    found = loops.count(
        scope,
        "i",
        number(first),
        Binary(compare, name, number(limit), span=SPAN),
        Binary(op, name, Number(step, None, True, span=SPAN), span=SPAN),
    )
    if len(expected) > 200:
        assert isinstance(found, Unknown)
    else:
        assert found == tuple(expected)
