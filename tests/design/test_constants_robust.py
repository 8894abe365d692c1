"""Evaluation never raises, whatever stands in an expression, and keeps to its limits."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scope_sources import systemverilog, vhdl

from memlint.design.scope import Scope
from memlint.design.values import Int, Unknown
from memlint.reading.facts import expressions as ex
from memlint.text.source import Span

HERE = Span("test", 0, 1)
NUMBERS = (ex.Number(2, None, True, span=HERE), ex.Number(60_000, None, True, span=HERE))
_OPERATORS = "== != < <= >= === ==? + - * / % mod ** << >> <<< >>> & | ^ ~& ~| ~^ && || -> <->".split()
_UNARY = "+ - ! ~ & | ^ ~& ~^ abs not ++".split()
_NAMES = (
    "n",
    "wide",
    "real_one",
    "text",
    "list",
    "cell",
    "cell_t",
    "kind_t",
    "one",
    "double",
    "s",
    "gone",
    "",
)
_FUNCTIONS = (
    "$clog2 $bits $size $signed $countones $rtoi $ceil $pow $itor $left $dimensions"
    " double to_integer to_unsigned resize shift_left log2 ceil integer real std_logic_vector unsigned"
    " maximum list"
).split()
_ATTRIBUTES = ("length", "range", "left", "high", "pos", "val", "succ", "image", "value", "subtype", "gone")

VERILOG = """
module m #(parameter missing) (input logic [3:0] s);
  typedef enum logic [1:0] {one, two} kind_t;
  typedef struct packed {logic [3:0] a; kind_t b;} cell_t;
  localparam n = 5;
  localparam [39:0] wide = 40'h12_3456_789a;
  localparam real real_one = 1.5;
  localparam string text = "abc";
  localparam int list [3] = '{4, 5, 6};
  localparam cell_t cell = '{3, two};
  function automatic int double(int n); return n * 2; endfunction
endmodule
"""
VHDL = """
library ieee; use ieee.std_logic_1164.all; use ieee.numeric_std.all;
entity m is generic (missing : integer); port (s : in std_logic_vector(3 downto 0)); end entity;
architecture a of m is
  type kind_t is (one, two);
  type cell_t is record a : unsigned(3 downto 0); b : kind_t; end record;
  type list_t is array (natural range <>) of integer;
  constant n : integer := 5;
  constant wide : std_logic_vector(39 downto 0) := x"123456789a";
  constant real_one : real := 1.5;
  constant text : string := "abc";
  constant list : list_t := (4, 5, 6);
  constant cell : cell_t := ("0011", two);
  function double(n : integer) return integer is begin return n * 2; end function;
begin end architecture;
"""


def _leaves() -> st.SearchStrategy[ex.Expr]:
    integers = st.one_of(st.integers(-3, 9), st.sampled_from((2**31, -(2**31), 2**64, 10**6)))
    widths = st.sampled_from((None, 1, 4, 32, 65))
    return st.one_of(
        st.builds(
            lambda value, width, signed, fill: ex.Number(value, width, signed, span=HERE, fill=fill),
            st.one_of(integers, st.none()),
            widths,
            st.booleans(),
            st.booleans(),
        ),
        st.builds(lambda name: ex.Name(name, span=HERE), st.sampled_from(_NAMES)),
        st.builds(lambda value: ex.Real(value, span=HERE), st.sampled_from((0.0, 2.5, -1e308, 1e-300))),
        st.builds(
            lambda text, one: ex.String(text, span=HERE, character=one),
            st.sampled_from(("", "0", "10", "é→")),
            st.booleans(),
        ),
        st.just(ex.Open(span=HERE)),
        # A number Python refuses to print in decimal.
        st.just(ex.Binary("**", NUMBERS[0], NUMBERS[1], span=HERE)),
        st.just(ex.Unsupported("a thing", ("n",), span=HERE)),
        st.just(ex.TypeArgument(ex.DataType("named", "cell_t"), span=HERE)),
    )


def _grown(inner: st.SearchStrategy[ex.Expr]) -> st.SearchStrategy[ex.Expr]:
    some = st.lists(inner, max_size=3).map(tuple)
    names = st.builds(lambda name: ex.Name(name, span=HERE), st.sampled_from(_FUNCTIONS))
    targets = st.one_of(
        inner,
        st.just(ex.DataType("named", "cell_t")),
        st.just(ex.DataType("builtin", "int")),
        st.just(ex.DataType("implicit", "signed", signed=True)),
    )
    pairs = st.lists(
        st.tuples(st.one_of(st.none(), inner, st.just(ex.Name("others", span=HERE))), inner), max_size=3
    )
    return st.one_of(
        st.builds(lambda op, a, b: ex.Binary(op, a, b, span=HERE), st.sampled_from(_OPERATORS), inner, inner),
        st.builds(lambda op, a: ex.Unary(op, a, span=HERE), st.sampled_from(_UNARY), inner),
        st.builds(lambda a, b, c: ex.Conditional(a, b, c, span=HERE), inner, inner, inner),
        st.builds(lambda a, b: ex.Index(a, b, span=HERE), inner, inner),
        st.builds(
            lambda a, b, c, kind: ex.Slice(a, b, c, kind, span=HERE),
            inner,
            inner,
            inner,
            st.sampled_from((":", "+:", "-:", "to", "downto")),
        ),
        st.builds(lambda a, name: ex.Member(a, name, span=HERE), inner, st.sampled_from(("a", "b", "gone"))),
        st.builds(lambda parts: ex.Concat(parts, span=HERE), some),
        st.builds(lambda count, parts: ex.Replicate(count, parts, span=HERE), inner, some),
        st.builds(lambda name, parts: ex.Call(name, parts, span=HERE), st.one_of(names, inner), some),
        st.builds(lambda target, a: ex.Cast(target, a, span=HERE), targets, inner),
        st.builds(lambda items: ex.Pattern(tuple(items), span=HERE), pairs),
        st.builds(lambda a, choices: ex.Inside(a, choices, span=HERE), inner, some),
        st.builds(
            lambda a, name, parts: ex.Attribute(a, name, parts, span=HERE),
            inner,
            st.sampled_from(_ATTRIBUTES),
            some,
        ),
    )


EXPRESSIONS = st.recursive(_leaves(), _grown, max_leaves=12)


@pytest.fixture(scope="module")
def scopes() -> tuple[Scope, Scope]:
    return systemverilog(VERILOG), vhdl(VHDL)


@settings(max_examples=300, deadline=None)
@given(expr=EXPRESSIONS)
def test_no_expression_raises(scopes: tuple[Scope, Scope], expr: ex.Expr) -> None:
    for scope in scopes:
        value = scope.evaluate(expr)
        assert not isinstance(value, Unknown) or value.reason
        scope.type_of(expr)
        for name in ("cell_t", "kind_t", "list"):
            type = scope.own_type(name)
            if not isinstance(type, Unknown):
                scope.evaluate(expr, type=type)


@pytest.mark.parametrize("expression", ["2 ** (64'd1 << 40)", "1 << 40", "64'd1 << 64'hffffffffffffffff"])
def test_what_leaves_its_width_is_computed_within_it(expression: str) -> None:
    """11.6: the result is the low bits of the number, here all zero."""
    found = systemverilog(f"module m; localparam P = {expression}; endmodule").value("P")
    assert isinstance(found, Int)
    assert found.value == 0


@pytest.mark.parametrize("expression", ["{100000000{1'b1}}", "16777217'(1)", "100000000'd1 + 1"])
def test_vectors_too_long_to_be_sizes_are_not_built(expression: str) -> None:
    found = systemverilog(f"module m; localparam P = {expression}; endmodule").value("P")
    assert isinstance(found, Unknown)
    assert "bits" in found.reason


def test_a_long_chain_of_constants_is_followed() -> None:
    lines = "".join(f"localparam P{number} = P{number - 1} + 1;" for number in range(1, 300))
    scope = systemverilog(f"module m; localparam P0 = 0; {lines} endmodule")
    assert scope.value("P299") == Int(299, 32, True)


def test_a_deeply_nested_expression_is_followed() -> None:
    expr: ex.Expr = ex.Number(1, 32, True, span=HERE)
    for _ in range(400):
        expr = ex.Binary("+", expr, ex.Number(1, 32, True, span=HERE), span=HERE)
    assert systemverilog("module m; endmodule").evaluate(expr) == Int(401, 32, True)


def test_nesting_without_measure_is_unknown() -> None:
    expr: ex.Expr = ex.Number(1, 32, True, span=HERE)
    for _ in range(50_000):
        expr = ex.Unary("-", expr, span=HERE)
    found = systemverilog("module m; endmodule").evaluate(expr)
    assert isinstance(found, Unknown)
    assert found.reason == "the expression is nested too deeply to evaluate"
