"""Constants of VHDL against the reference simulator, and the reasons of those that are unknown."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from ghdl_constants import GHDL, REASON, constants
from random_vhdl import design
from scope_sources import Sources, vhdl

from memlint.design.values import Int, Real, StructValue, Text, Unknown, Value

TEXT = Path(__file__).with_name("constants_reference.vhd").read_text()
_NAMES = re.findall(r"constant (\w+) : integer ", TEXT[TEXT.index("architecture rtl") :])
needs_ghdl = pytest.mark.skipif(GHDL is None, reason=REASON)


def number(value: Value) -> int:
    assert isinstance(value, Int), value
    return value.value


@needs_ghdl
def test_constants_have_the_value_of_the_reference(tmp_path: Path) -> None:
    """Source: GHDL, which prints the same text's constants at elaboration."""
    expected = constants(TEXT, {name: f"integer'image({name})" for name in _NAMES}, tmp_path)
    scope = vhdl(TEXT)
    assert len(expected) == len(_NAMES) > 50
    assert {name: str(number(scope.value(name.lower()))) for name in _NAMES} == expected


@needs_ghdl
@pytest.mark.parametrize("seed", range(4))
def test_random_expressions_have_the_value_of_the_reference(seed: int, tmp_path: Path) -> None:
    """Source: GHDL. Integers with `mod`, `rem` and `**` (9.2.7, 9.2.8), and numeric_std (16.8.5)."""
    text, images = design(seed, 150)
    expected = constants(text, images, tmp_path)
    scope = vhdl(text)
    assert len(expected) == 150
    assert {name: str(number(scope.value(name))) for name in images} == expected


# 9.2.7: `rem` has the sign of the left operand, `mod` that of the right one.
@pytest.mark.parametrize(
    ("expression", "expected"),
    [("5 mod (-3)", -1), ("5 rem (-3)", 2), ("(-5) mod 3", 1), ("(-5) rem 3", -2), ("2 ** 40", 2**40)],
)
def test_integer_operators(expression: str, expected: int) -> None:
    constant = f"constant p : integer := {expression};"
    text = f"entity e is end entity; architecture a of e is {constant} begin end architecture;"
    assert number(vhdl(text).value("p")) == expected


PACKAGE = """
library ieee;
use ieee.std_logic_1164.all;
package line_pkg is
  type lane_t is (idle, fill, eject);
  type line_t is record
    pixels : positive;
    name   : string(1 to 3);
    kind   : lane_t;
    gain   : real;
  end record;
  constant FRONT : line_t := (pixels => 3840, name => "top", kind => fill, gain => 1.5);
  constant LATER : integer;
  constant NEVER : integer;
  function no_body(n : integer) return integer;
  function ends(n : integer) return integer;
  impure function from_file(name : string) return integer;
end package;
package body line_pkg is
  constant LATER : integer := 77;
  function ends(n : integer) return integer is
  begin
    if n > 3 then return 2; end if;
  end function;
  impure function from_file(name : string) return integer is
    file source : text open read_mode is name;
    variable row : line;
    variable count : integer := 0;
  begin
    while not endfile(source) loop
      readline(source, row);
      count := count + 1;
    end loop;
    return count;
  end function;
end package body;
"""


def line_unit(declarations: str, clauses: str = "use work.line_pkg.all;") -> Sources:
    return Sources(
        f"{PACKAGE}{clauses}\nentity dut is generic (width : natural); end entity;\n"
        f"architecture rtl of dut is {declarations} begin end architecture;",
        "test.vhd",
    )


def test_the_value_of_a_deferred_constant_is_the_bodys() -> None:
    """6.4.2.2."""
    assert number(line_unit("").unit().value("later")) == 77


def test_names_with_library_and_package_are_found_without_a_use_clause() -> None:
    unit = line_unit("constant p : integer := work.line_pkg.front.pixels;", "").unit()
    assert number(unit.value("p")) == 3840


def test_fields_of_a_record_keep_their_types() -> None:
    front = line_unit("").unit().value("front")
    assert isinstance(front, StructValue)
    assert front.get("name") == Text("top")
    assert front.get("gain") == Real(1.5)
    assert number(front.get("kind") or Unknown("no kind")) == 1


@pytest.mark.parametrize(
    ("declaration", "reason"),
    [
        ("constant p : integer := from_file(name => front.name);", "file reading function `from_file`"),
        ("constant p : integer := ends(2);", "the function `ends` ends without a return"),
        (
            "constant p : integer := no_body(2);",
            "the body of the function `no_body` is not among the sources",
        ),
        ("constant p : integer := never;", "the value of the constant `never` is not among the sources"),
        (
            "constant p : integer := work.gone_pkg.size;",
            "the package `work.gone_pkg` is not among the sources",
        ),
        ("constant p : integer := work.line_pkg.gone;", "the package `line_pkg` declares no `gone`"),
        ("constant p : integer := q; constant q : integer := p + 1;", "`p` depends on itself"),
        ("constant p : integer := 7 / 0;", "division by zero"),
        ("constant p : integer := 2 ** (2 ** 20);", "a power of more than 65536 bits is not evaluated"),
        ("signal s : integer; constant p : integer := s;", "`s` is not a constant"),
        ("constant p : integer := lane_t'pos(lane_t'succ(eject));", "`lane_t` has no member at position 3"),
    ],
)
def test_what_is_unknown_says_why(declaration: str, reason: str) -> None:
    found = line_unit(declaration).unit().value("p")
    assert isinstance(found, Unknown)
    assert found.span is not None
    assert found.reason == reason


def test_a_generic_without_value_is_named_for_whoever_can_settle_it() -> None:
    found = line_unit("constant p : integer := width * 2;").unit().value("p")
    assert isinstance(found, Unknown)
    assert (found.reason, found.needs) == ("`width` has no value", "dut.width")


def test_a_name_that_may_come_from_a_package_without_source_says_so() -> None:
    found = line_unit("constant p : integer := rows;", "use work.gone_pkg.all;").unit().value("p")
    assert isinstance(found, Unknown)
    assert "the package `gone_pkg` is not among the sources" in found.reason


def test_overloads_are_told_apart_by_the_kinds_of_their_arguments() -> None:
    """12.5."""
    text = """
    package p is
      function pick(c : boolean; a, b : integer) return integer;
      function pick(c : boolean; a, b : string) return string;
    end package;
    package body p is
      function pick(c : boolean; a, b : integer) return integer is begin
        if c then return a; else return b; end if;
      end function;
      function pick(c : boolean; a, b : string) return string is begin
        if c then return a; else return b; end if;
      end function;
    end package body;
    use work.p.all;
    entity e is end entity;
    architecture a of e is
      constant n : integer := pick(true, 3, 4);
      constant s : string := pick(n = 4, "left", "right");
    begin end architecture;
    """
    assert number(vhdl(text).value("n")) == 3
    assert vhdl(text).value("s") == Text("right")
