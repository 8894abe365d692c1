"""Elaborated types: dimensions and sizes of what is declared."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pyslang import ast, syntax
from scope_sources import systemverilog, vhdl

from memlint.design.types import (
    AnyType,
    Array,
    Integer,
    Range,
    Shapeless,
    Struct,
    Unconstrained,
    Vector,
    bits,
    element_type,
    field_type,
    integer_bits,
    outer_range,
    packed_dimensions,
    unpacked_dimensions,
    word_type,
)
from memlint.design.values import Unknown

TEXT = """
package sort_pkg;
  typedef struct packed {logic [3:0] row; logic [11:0] column;} place_t;
  typedef place_t [1:0] pair_t;
  typedef logic [7:0] byte_t;
  typedef byte_t [3:0] word_t;
  typedef byte_t rows_t [4];
  typedef enum {DARK, PALE} grain_t;
endpackage
module dut import sort_pkg::*; #(parameter int W = 8, D = 16, parameter type T = logic [W-1:0]) ();
  logic [W-1:0] ascending [0:D-1];
  logic [W-1:0] sized [D];
  logic [3:0][W-1:0] four_ways [D-1:0][2];
  place_t places [D];
  pair_t pairs [2:5];
  word_t word;
  rows_t nested [3];
  T by_type [2**$clog2(D)];
  int integers [4];
  bit bits_only [2][3];
  logic signed [0:W-1] upward;
  grain_t grains [2];
  struct packed {logic [2:0] x; byte y;} inline_struct [D];
  T [1:0] prefixed;
  reg one;
  place_t [3:0] packed_places [2];
  byte_t [1:0][2:0] cube;
  integer count;
  time moment;
  union packed {logic [15:0] whole; byte_t [1:0] halves;} either [5];
endmodule
"""
_NAMES = """
    ascending sized four_ways places pairs word nested by_type integers bits_only upward grains
    inline_struct prefixed one packed_places cube count moment either
    """.split()


def reference() -> dict[str, tuple[list[tuple[int, int]], list[tuple[int, int]], int]]:
    """Unpacked and packed dimensions and all bits of each variable. Source: pyslang."""
    compilation = ast.Compilation()
    compilation.addSyntaxTree(syntax.SyntaxTree.fromText(TEXT))
    found = {}
    for symbol in compilation.getRoot().topInstances[0].body:
        if not isinstance(symbol, ast.VariableSymbol):
            continue
        kind = symbol.type.canonicalType
        total = kind.bitstreamWidth
        unpacked, packed = [], []
        while kind.isUnpackedArray:
            unpacked.append((kind.fixedRange.left, kind.fixedRange.right))
            kind = kind.arrayElementType.canonicalType
        while kind.isPackedArray:
            packed.append((kind.fixedRange.left, kind.fixedRange.right))
            kind = kind.arrayElementType.canonicalType
        if kind.isPredefinedInteger:
            packed.append((kind.bitWidth - 1, 0))
        found[symbol.name] = (unpacked, packed, total)
    return found


REFERENCE = reference()


def bounds(dimensions: tuple[Range | Unknown, ...]) -> list[tuple[int, int]]:
    return [(one.left, one.right) for one in dimensions if isinstance(one, Range)]


@pytest.mark.parametrize("name", _NAMES)
def test_dimensions_and_bits_are_those_of_the_reference(name: str) -> None:
    type = systemverilog(TEXT).own_type(name)
    found = (bounds(unpacked_dimensions(type)), bounds(packed_dimensions(type)), bits(type))
    assert found == REFERENCE[name]


@pytest.mark.parametrize("dimension", ["[]", "[$]", "[string]", "[*]", "[$:7]"])
def test_arrays_without_fixed_size_are_never_a_memory_and_say_why(dimension: str) -> None:
    """7.5, 7.8, 7.10."""
    type = systemverilog(f"module m; int v {dimension}; endmodule").own_type("v")
    assert isinstance(type, Shapeless)
    assert type.reason == "a dynamic array, queue or associative array"


def test_an_array_of_unknown_depth_is_still_an_array_of_known_words() -> None:
    type = systemverilog("module m #(parameter DEPTH) (); logic [7:0] line [DEPTH]; endmodule").own_type(
        "line"
    )
    assert isinstance(type, Array)
    depth = unpacked_dimensions(type)[0]
    assert isinstance(depth, Unknown)
    assert (depth.reason, depth.needs) == ("`DEPTH` has no value", "m.DEPTH")
    assert bits(word_type(type)) == 8
    assert bits(type) == depth


def test_a_struct_with_one_unknown_field_knows_the_others() -> None:
    scope = systemverilog(
        "module m #(parameter W) ();"
        " typedef struct packed {logic [W-1:0] a; logic [4:0] b;} t; t x; endmodule"
    )
    type = scope.own_type("x")
    assert isinstance(type, Struct)
    assert bits(field_type(type, "b")) == 5
    assert isinstance(bits(field_type(type, "a")), Unknown)
    assert isinstance(bits(type), Unknown)


@pytest.mark.parametrize("size", ["0", "-1"])
def test_a_size_that_is_not_positive_is_no_dimension(size: str) -> None:
    """7.4.2: the size of `[N]` is positive."""
    scope = systemverilog(f"module m; logic [7:0] line [{size}]; endmodule")
    (depth,) = unpacked_dimensions(scope.own_type("line"))
    assert isinstance(depth, Unknown)
    assert "is not positive" in depth.reason


def test_a_type_that_is_not_declared_is_unknown_with_its_name() -> None:
    type = systemverilog("module m; gone_t x [4]; endmodule").own_type("x")
    assert isinstance(type, Array)
    assert isinstance(type.element, Unknown)
    assert type.element.reason == "`gone_t` is not declared where it is used"


def test_types_that_name_each_other_do_not_run_away() -> None:
    scope = systemverilog("module m; typedef b_t a_t; typedef a_t b_t; a_t x; endmodule")
    assert scope.own_type("x") == Unknown("`a_t` depends on itself")


def test_one_index_selects_the_next_inner_part() -> None:
    scope = systemverilog(TEXT)
    element = element_type(scope.own_type("four_ways"))
    assert bounds(unpacked_dimensions(element)) == [(0, 1)]
    word = word_type(element)
    assert outer_range(word) == Range(3, 0, True)
    assert bits(element_type(word)) == 8
    assert bits(element_type(element_type(word))) == 1


VHDL = """
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
use ieee.fixed_pkg.all;
entity dut is
  generic (depth : natural; width : positive := 6);
  port (d : in std_logic_vector(width * 2 - 1 downto 0); open_port : in unsigned);
end entity;
architecture rtl of dut is
  type lane_t is (idle, fill, eject);
  type line_t is array (0 to 2 ** width - 1) of std_logic_vector(d'range);
  type unknown_line_t is array (0 to depth) of std_logic_vector(7 downto 0);
  type words_t is array (natural range <>) of std_logic_vector;
  type record_t is record
    mask : std_logic_vector;
    code : integer range 0 to 100;
    good : boolean;
  end record;
  type by_lane_t is array (lane_t range fill to eject, boolean) of signed(3 downto 0);
  type nested_t is array (1 to 3) of line_t;
  subtype code_t is integer range 0 to 255;
  type codes_t is array (code_t range <>) of code_t;
  type small_t is range -8 to 7;
  type per_code_t is array (code_t) of bit;
  signal line : line_t;
  signal unknown_line : unknown_line_t;
  signal words : words_t(0 to 3)(7 downto 0);
  signal pixel : record_t(mask(3 downto 0));
  signal by_lane : by_lane_t;
  signal nested : nested_t;
  signal codes : codes_t(0 to 9);
  signal small : small_t;
  signal per_code : per_code_t;
  signal lane : lane_t;
  signal gain : sfixed(3 downto -4);
  signal pick : std_logic;
  signal empty : std_logic_vector(-1 downto 0);
  signal whole : integer;
  signal counted : natural;
  signal flags : std_logic_vector(0 to 7);
begin
end architecture;
"""


def declared(name: str) -> AnyType:
    return vhdl(VHDL).own_type(name)


# Sizes follow from IEEE 1076-2008 5.2 and 5.3; bits of integers and enumerations are common practice.
@pytest.mark.parametrize(
    ("name", "unpacked", "packed", "size"),
    [
        ("line", [(0, 63)], [(11, 0)], 768),
        ("words", [(0, 3)], [(7, 0)], 32),
        ("by_lane", [(1, 2), (0, 1)], [(3, 0)], 16),
        ("nested", [(1, 3), (0, 63)], [(11, 0)], 2304),
        ("codes", [(0, 9)], [], 80),
        ("per_code", [(0, 255)], [], 256),
        ("pixel", [], [], 4 + 7 + 1),
        ("small", [], [], 4),
        ("lane", [], [], 2),
        ("gain", [], [(3, -4)], 8),
        ("pick", [], [], 1),
        ("empty", [], [(-1, 0)], 0),
        ("whole", [], [], 32),
        ("counted", [], [], 31),
        ("flags", [], [(0, 7)], 8),
    ],
)
def test_vhdl_types(
    name: str, unpacked: list[tuple[int, int]], packed: list[tuple[int, int]], size: int
) -> None:
    type = declared(name)
    assert bounds(unpacked_dimensions(type)) == unpacked
    assert bounds(packed_dimensions(type)) == packed
    assert bits(type) == size


def test_a_vhdl_array_of_unknown_length_names_the_generic() -> None:
    (depth,) = unpacked_dimensions(declared("unknown_line"))
    assert isinstance(depth, Unknown)
    assert depth.needs == "dut.depth"


def test_a_port_without_range_has_none_until_it_is_given() -> None:
    scope = vhdl(VHDL)
    assert isinstance(scope.own_type("open_port"), Unconstrained)
    scope.set_type("open_port", Vector((Range(9, 0, True),), name="unsigned"))
    assert bits(scope.own_type("open_port")) == 10


@given(low=st.integers(-5000, 5000), size=st.integers(0, 5000))
def test_an_integer_subtype_has_the_bits_that_its_values_need(low: int, size: int) -> None:
    """Common practice: two's complement once there are negative values, and at least one bit."""
    high = low + size
    count = integer_bits(Range(low, high, False))
    needed = [
        (-(2 ** (n - 1)) <= low and high < 2 ** (n - 1)) if low < 0 else high < 2**n for n in range(1, 20)
    ]
    assert count == needed.index(True) + 1


@given(left=st.integers(-50, 50), right=st.integers(-50, 50), descending=st.booleans())
def test_a_range_counts_its_indices_from_the_left(left: int, right: int, descending: bool) -> None:
    span = Range(left, right, descending)
    indices = list(span.indices())
    assert span.size == len(indices)
    assert [span.offset(index) for index in indices] == list(range(len(indices)))
    assert span.offset(max(left, right) + 1) is None
    assert bits(Integer(span)) == integer_bits(span)
