"""Patterns, structs, selects, casts and system functions of SystemVerilog's constant expressions."""

from __future__ import annotations

import pytest
from scope_sources import systemverilog
from slang_constants import Reference, parameters

from memlint.design.scope import Scope
from memlint.design.values import Int, Real, Text, Unknown, Value, text_bits

TEXT = """
package grain_pkg;
  typedef enum logic [1:0] {DARK, PALE = 2, GLASS} grain_t;
  typedef struct packed { logic [7:0] red; logic [7:0] green; grain_t grain; } pixel_t;
  typedef struct { int lanes; int depth [3]; real gain; pixel_t fill; } cfg_t;
  typedef union packed { logic [15:0] word; logic [1:0][7:0] bytes; } both_t;
  localparam cfg_t CFG = '{lanes: 12, depth: '{100, 200, 300}, gain: 2.5, fill: '{1, 2, PALE}};
  localparam pixel_t MIXED = '{red: 8'h12, grain: GLASS, default: 8'h34};
  localparam int TABLE [4] = '{1, 2, 4, 8};
  localparam int GRID [2][3] = '{'{1, 2, 3}, '{4, 5, 6}};
  localparam int TWICE [6] = '{3{1, 2}};
  localparam int FILLED [3:0] = '{2: 7, default: 9};
  localparam logic [3:0][7:0] PACKED = '{8'h1, 8'h2, 8'h3, 8'h4};
  localparam both_t BOTH = 16'habcd;
endpackage
module dut import grain_pkg::*; #(parameter int W = 8, parameter type T = pixel_t) (input logic [W-1:0] d);
  localparam LANES = CFG.lanes;
  localparam SECOND = CFG.depth[1];
  localparam INDEXED = CFG.depth[W - 7];
  localparam GREEN = CFG.fill.green;
  localparam WHOLE = MIXED;
  localparam LAST = TABLE[3];
  localparam CORNER = GRID[1][2];
  localparam REPEATED = TWICE[4] + TWICE[5] * 10;
  localparam KEYED = FILLED[2] + FILLED[0] * 10;
  localparam ALL_BYTES = PACKED;
  localparam LOW_BYTE = PACKED[0];
  localparam UNION_PART = BOTH.bytes[1];
  localparam TYPE_BITS = $bits(T);
  localparam NAMED_BITS = $bits(pixel_t);
  localparam FIELD_BITS = $bits(CFG.fill.red);
  localparam PORT_BITS = $bits(d);
  localparam SELECT_BITS = $bits(d[3:0]);
  localparam CONCAT_BITS = $bits({d, d});
  localparam WIDER_BITS = $bits(d + 16'd0);
  localparam GRID_BITS = $bits(GRID);
  localparam WRITTEN_BITS = $bits(logic [W*3-1:0]);
  localparam SIZE_1 = $size(GRID);
  localparam SIZE_2 = $size(GRID, 2);
  localparam SIZE_PACKED = $size(PACKED);
  localparam LEFT = $left(FILLED);
  localparam RIGHT = $right(d);
  localparam HIGH = $high(TABLE);
  localparam LOW = $low(FILLED);
  localparam DIMENSIONS = $dimensions(GRID);
  localparam UNPACKED = $unpacked_dimensions(GRID);
  localparam DOWNWARD = $increment(FILLED);
  localparam UPWARD = $increment(TABLE);
  localparam GAIN = CFG.gain * 2;
  localparam CUT = $rtoi(CFG.gain);
  localparam ROUNDED = int'(CFG.gain);
  localparam ADDRESS = $clog2($rtoi($ceil(100.0 / 3.0)));
  localparam POWER = $rtoi($pow(2.0, 10.0));
  localparam LOGARITHM = $rtoi($ln(1000.0) * 100);
  localparam ROOT = $rtoi($sqrt(1000000.0));
  localparam AS_PIXEL = pixel_t'('h3ffff);
  localparam AS_GRAIN = grain_t'(2);
  localparam SIZED = W'(1000);
  localparam SIZED_SUM = (W * 2)'(16'hffff + 1);
  localparam STYLE = W > 4 ? "wide" : "slim";
  localparam IS_WIDE = STYLE == "wide";
  localparam TYPED_PATTERN = pixel_t'{8'd1, 8'd2, DARK};
  localparam MEMBER = GLASS;
  localparam JOINED = {PALE, GLASS};
  localparam SCOPED = grain_pkg::PALE;
  localparam WITHIN = W inside {[1:4], 8};
  localparam COPIES = {4{W[1:0]}};
  localparam ODD = ^W;
  localparam logic [W-1:0] SAME [3] = '{default: 5};
  localparam FROM_SAME = SAME[1];
  localparam ONES = $onehot(W) + $countones(8'hff) + $isunknown(W);
  localparam int SIZES [] = '{5, 6, 7};
  localparam HOW_MANY = $size(SIZES);
  localparam THIRD = SIZES[2];
  localparam LETTERS = "hello";
  localparam LETTER = LETTERS[7:0];
  localparam string NAME = "hi";
  localparam LENGTH = NAME.len();
  localparam GREETING = {NAME, "there"} == "hithere";
  localparam TAKEN_ONLY = CFG.lanes ? CFG.lanes : 1/0;
endmodule
"""
REFERENCE = {name: found for name, found in parameters(TEXT).items() if found.value is not None}


@pytest.fixture(scope="module")
def dut() -> Scope:
    return systemverilog(TEXT)


def shown(value: Value) -> Reference:
    """A value the way the reference gives it: strings of parameters without type are vectors."""
    match value:
        case Int(value=number, width=int(width), signed=signed):
            return Reference(number, width, signed)
        case Real(value=number):
            return Reference(number, 0, False)
        case Text(value=text):
            bits = text_bits(text)
            return Reference(bits.value, bits.width or 0, False)
    raise AssertionError(value)


@pytest.mark.parametrize("name", sorted(set(REFERENCE) - {"NAME"}))
def test_constants_have_the_value_of_the_reference(dut: Scope, name: str) -> None:
    """Source: pyslang, which elaborates the same text."""
    assert shown(dut.value(name)) == REFERENCE[name]


def test_the_reference_knows_all_of_them() -> None:
    assert len(REFERENCE) > 60


def test_a_string_parameter_stays_a_string(dut: Scope) -> None:
    assert dut.value("NAME") == Text("hi")
    assert dut.value("STYLE") == Text("wide")


def test_the_ceiling_of_the_logarithm_at_its_edges() -> None:
    """20.8.1: 0 gives 0; the argument counts as unsigned, so -1 of 32 bits gives 32."""
    logarithms = ("$clog2(0)", "$clog2(1)", "$clog2(1024)", "$clog2(1025)", "$clog2(-1)")
    scopes = [systemverilog(f"module m; localparam P = {one}; endmodule") for one in logarithms]
    assert [scope.value("P") for scope in scopes] == [Int(one, 32, True) for one in (0, 0, 10, 11, 32)]


def test_a_default_goes_down_into_nested_arrays_and_structs() -> None:
    """10.9.1, 10.9.2."""
    scope = systemverilog(
        "module m; typedef struct { int a; int b [2]; } s_t;"
        " localparam s_t S = '{default: 3}; localparam int G [2][2] = '{default: 4};"
        " localparam A = S.b[1]; localparam B = G[1][0]; endmodule"
    )
    assert (scope.value("A"), scope.value("B")) == (Int(3, 32, True), Int(4, 32, True))


@pytest.mark.parametrize(
    ("expression", "reason"),
    [
        ("'{1, 2}", "an assignment pattern needs a type"),
        ("$test$plusargs(1)", "`$test$plusargs` is not evaluated"),
        ("T[4]", "index 4 lies outside 0 to 3"),
        ("missing_pkg::WIDTH", "the package `missing_pkg` is not among the sources"),
        ("lane.WIDTH", "`lane.WIDTH` belongs to an instance or interface"),
        ("width()", "`width` is not declared where it is used"),
        ("{<<{8'h12}}", "a streaming concatenation is not evaluated"),
    ],
)
def test_what_is_not_evaluated_says_what_it_is(expression: str, reason: str) -> None:
    scope = systemverilog(
        f"module m; localparam int T [4] = '{{1, 2, 3, 4}}; localparam P = {expression}; endmodule"
    )
    found = scope.value("P")
    assert isinstance(found, Unknown)
    assert found.reason == reason
    assert found.span is not None
