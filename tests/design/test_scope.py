"""Scopes: which declaration a name means, and what is given to it from outside."""

from __future__ import annotations

from scope_sources import Sources, systemverilog, vhdl

from memlint.design.meanings import (
    AliasMeaning,
    BuiltinMeaning,
    ComponentMeaning,
    ConstantMeaning,
    SignalMeaning,
    SubprogramMeaning,
    TypeMeaning,
)
from memlint.design.scope import Scope
from memlint.design.types import Range, Vector, bits
from memlint.design.values import Int, Real, Text, TypeValue, Unknown
from memlint.reading.facts.expressions import Member, Name
from memlint.text.source import Span

HERE = Span("test.sv", 0, 0)
PACKAGES = """
package near_pkg;
  localparam DEPTH = 100;
  localparam WIDTH = 8;
endpackage
package far_pkg;
  localparam DEPTH = 200;
  localparam LANES = 6;
  typedef enum {DARK, PALE, GLASS} grain_t;
  function automatic int twice(int n); return 2 * n; endfunction
endpackage
"""


def test_own_names_win_over_imports_and_explicit_imports_over_wildcards() -> None:
    """26.3 and 26.8: search order of names."""
    scope = systemverilog(
        PACKAGES + "module m; import near_pkg::*; import far_pkg::DEPTH; localparam WIDTH = 3; endmodule"
    )
    assert scope.value("WIDTH") == Int(3, 32, True)
    assert scope.value("DEPTH") == Int(200, 32, True)


def test_members_of_an_imported_enumeration_are_names() -> None:
    scope = systemverilog(PACKAGES + "module m; import far_pkg::*; localparam P = PALE; endmodule")
    assert scope.value("P") == Int(1, 32, True)


def test_each_name_means_what_it_is_declared_as() -> None:
    scope = systemverilog(
        PACKAGES
        + "module m import far_pkg::*; #(parameter N = 3, parameter type T = int) (input a); logic [3:0] s;"
        "endmodule"
    )
    assert isinstance(scope.lookup("N"), ConstantMeaning)
    assert isinstance(scope.lookup("T"), TypeMeaning)
    assert isinstance(scope.lookup("grain_t"), TypeMeaning)
    assert isinstance(scope.lookup("GLASS"), ConstantMeaning)
    assert isinstance(scope.lookup("a"), SignalMeaning)
    assert isinstance(scope.lookup("s"), SignalMeaning)
    assert isinstance(scope.lookup("twice"), SubprogramMeaning)
    assert scope.lookup("gone") is None
    assert isinstance(scope.lookup_in("near_pkg", "DEPTH"), ConstantMeaning)
    assert scope.lookup_in("gone_pkg", "DEPTH") is None


def test_an_override_is_converted_to_the_parameters_type() -> None:
    """6.20.2: a typed parameter keeps its type, one without type takes the override's."""
    scope = systemverilog(
        "module m #(parameter logic [3:0] A = 1, parameter B = 1, localparam C = A + B) (); endmodule"
    )
    scope.set("A", Int(300, 32, True))
    scope.set("B", Int(9, 8, False))
    assert scope.value("A") == Int(12, 4, False)
    assert scope.value("B") == Int(9, 8, False)
    assert scope.value("C") == Int(21, 8, False)


def test_what_depends_on_an_override_follows_it_even_if_it_was_asked_before() -> None:
    scope = systemverilog("module m #(parameter N) (); localparam P = N * 2; logic [7:0] line [P]; endmodule")
    assert isinstance(scope.value("P"), Unknown)
    assert isinstance(bits(scope.own_type("line")), Unknown)
    scope.set("N", Int(5, 32, True))
    assert scope.value("P") == Int(10, 32, True)
    assert bits(scope.own_type("line")) == 80


def test_a_type_parameter_takes_a_type() -> None:
    scope = systemverilog(
        "module m #(parameter type T = logic [7:0]) (); T line [4]; localparam W = $bits(T); endmodule"
    )
    assert bits(scope.own_type("line")) == 32
    scope.set("T", TypeValue(Vector((Range(4, 0, True),))))
    assert bits(scope.own_type("line")) == 20
    assert scope.value("W") == Int(5, 32, True)


def test_a_parameter_that_needs_itself_says_so() -> None:
    scope = systemverilog("module m; localparam A = B + 1; localparam B = A - 1; endmodule")
    assert scope.value("A") == Unknown("`A` depends on itself")


def test_an_inner_scope_sees_the_outer_one_and_hides_its_names() -> None:
    outer = systemverilog("module m; localparam A = 1; localparam B = 2; endmodule")
    inner = Scope("systemverilog", outer, outer.packages, "m.lane[0]")
    inner.set("A", Int(7, 32, True))
    assert (inner.value("A"), inner.value("B")) == (Int(7, 32, True), Int(2, 32, True))
    assert outer.value("A") == Int(1, 32, True)


def test_names_inside_an_interface_or_block_are_reached_through_it() -> None:
    sources = Sources(
        "interface link_if #(parameter W = 12) (); logic [W-1:0] data; endinterface module m; endmodule",
        "test.sv",
    )
    scope, link = sources.unit("m"), sources.unit("link_if")
    scope.enter("link", link)
    data = Member(Name("link", span=HERE), "data", span=HERE)
    assert bits(scope.type_of(data)) == 12
    assert scope.evaluate(Member(Name("link", span=HERE), "W", span=HERE)) == Int(12, 32, True)


def test_a_name_from_a_package_that_is_not_there_names_the_package() -> None:
    scope = systemverilog("module m; import gone_pkg::*; localparam P = DEPTH; endmodule")
    found = scope.value("P")
    assert isinstance(found, Unknown)
    assert found.reason == (
        "`DEPTH` is not declared where it is used, and the package `gone_pkg` is not among the sources"
    )


def test_type_of_follows_fields_and_indices_that_are_no_constants() -> None:
    scope = systemverilog(
        "module m (input logic [3:0] i);"
        " typedef struct packed {logic [4:0] a; logic [2:0] b;} t; t [1:0] x [8];"
        " localparam A = $bits(x[i]); localparam B = $bits(x[i][0].a);"
        " localparam C = $bits(x[i][0][i +: 2]); endmodule"
    )
    assert [scope.value(name) for name in "ABC"] == [Int(16, 32, True), Int(5, 32, True), Int(2, 32, True)]


VHDL = """
library ieee;
use ieee.std_logic_1164.all;
entity dut is
  generic (depth : natural := 16; style : string := "fast"; gain : real := 1.0; wide : boolean := false;
           mask : std_logic_vector(3 downto 0) := "0000");
end entity;
architecture rtl of dut is
  component filter is
    generic (taps : natural);
    port (a : in std_logic);
  end component;
  signal word : std_logic_vector(7 downto 0);
  alias upper : std_logic_vector(3 downto 0) is word(7 downto 4);
  constant length : natural := upper'length;
  constant doubled : natural := depth * 2;
  function log2 (n : natural) return natural is
  begin
    return n + 100;
  end function;
  constant own : natural := log2(8);
begin
end architecture;
"""


def test_vhdl_names_mean_what_they_are_declared_as() -> None:
    scope = vhdl(VHDL)
    assert isinstance(scope.lookup("filter"), ComponentMeaning)
    assert isinstance(scope.lookup("upper"), AliasMeaning)
    assert isinstance(scope.lookup("std_logic_vector"), TypeMeaning)
    assert isinstance(scope.lookup("to_integer"), BuiltinMeaning)
    assert isinstance(scope.lookup("true"), ConstantMeaning)
    assert scope.value("length") == Int(4)


def test_a_function_of_the_design_wins_over_the_standard_one() -> None:
    assert vhdl(VHDL).value("own") == Int(108)


def test_generics_take_values_from_units_of_other_languages_and_from_the_configuration() -> None:
    scope = vhdl(VHDL)
    scope.set("depth", Int(32, 32, True))
    scope.set("gain", Int(2))
    scope.set("wide", Text("TRUE"))
    scope.set("mask", Int(5))
    scope.set("style", Text("small"))
    assert scope.value("doubled") == Int(64)
    assert scope.value("gain") == Real(2.0)
    assert scope.value("wide") == Int(1, None, False)
    assert scope.value("mask") == Int(5, 4, False)
    assert scope.value("style") == Text("small")


def test_standard_names_are_known_by_their_full_path_and_beside_sources_of_the_standard_packages() -> None:
    """IEEE 1076-2008 16.9: ceil and log2 of math_real."""
    scope = vhdl("""
    package math_real is
      constant math_pi : real := 3.0;
      function log2 (x : real) return real;
    end package;
    library ieee; use ieee.math_real.all;
    entity dut is end entity;
    architecture rtl of dut is
      constant n : integer := integer(ieee.math_real.ceil(log2(1000.0)));
      signal word : ieee.std_logic_1164.std_logic_vector(3 downto 0);
    begin
    end architecture;
    """)
    assert scope.value("n") == Int(10)
    assert bits(scope.own_type("word")) == 4
