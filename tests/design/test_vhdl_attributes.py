"""Synthesis attributes in VHDL: the standard ones of IEEE Std 1076.6, and those of `[attributes]`."""

from __future__ import annotations

import pytest

from memlint.design.design import DesignOptions, elaborate_design
from memlint.design.memory import Memory
from memlint.reading.vhdl.read import read_vhdl
from memlint.text.source import SourceText


def memory(declared: str, attributes: dict[str, str] | None = None, local: str = "") -> Memory:
    kind = "" if local else "signal line : line_t;"
    becomes = ":=" if local else "<="
    text = f"""
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
entity store is
  port (clk, we : in std_logic; at : in unsigned(5 downto 0);
        data : in std_logic_vector(7 downto 0); q : out std_logic_vector(7 downto 0));
end entity;
architecture rtl of store is
  type line_t is array (0 to 63) of std_logic_vector(7 downto 0);
  {kind}
  {declared}
begin
  process (clk)
    {local}
  begin
    if rising_edge(clk) then
      q <= line(to_integer(at));
      if we = '1' then
        line(to_integer(at)) {becomes} data;
      end if;
    end if;
  end process;
end architecture;
"""
    facts = read_vhdl(SourceText("store.vhd", text))
    assert not facts.problems
    (found,) = elaborate_design([facts], DesignOptions(attributes=attributes or {})).memories
    return found


@pytest.mark.parametrize(
    ("declared", "expected"),
    [
        # IEEE Std 1076.6-2004: the value names a kind of storage, or switches it on or off.
        ('attribute ram_block : string; attribute ram_block of line : signal is "any";', "block"),
        ("attribute ram_block : boolean; attribute ram_block of line : signal is true;", "block"),
        ("attribute ram_block : boolean; attribute ram_block of line : signal is false;", None),
        ('attribute ROM_BLOCK : string; attribute Rom_Block of LINE : signal is "any";', "block"),
        ("attribute logic_block : boolean; attribute logic_block of line : signal is true;", "logic"),
        ("attribute logic_block : boolean; attribute logic_block of q, line : signal is true;", "logic"),
        ("attribute keep : boolean; attribute keep of line : signal is true;", None),
    ],
)
def test_standard_attributes(declared: str, expected: str | None) -> None:
    found = memory(declared)
    assert found.attribute == expected
    assert (found.attribute_span is not None) == (expected is not None)


def test_attributes_of_the_project() -> None:
    declared = 'attribute storage : string; attribute storage of line : signal is "big";'
    assert memory(declared, {"storage=big": "bulk"}).attribute == "bulk"
    assert memory(declared, {"storage=small": "bulk"}).attribute is None
    assert memory(declared, {"storage": "block"}).attribute == "block"


def test_an_attribute_of_a_process_variable() -> None:
    local = "variable line : line_t; attribute ram_block of line : variable is true;"
    declared = "attribute ram_block : boolean;"
    assert memory(declared, local=local).attribute == "block"


def test_an_attribute_of_a_like_named_object_elsewhere_does_not_count() -> None:
    declared = (
        "attribute ram_block : boolean; signal {0} : line_t; attribute ram_block of {0} : signal is true;"
    )
    assert memory(declared.format("other")).attribute is None
    # A variable of the same name in the process is another object than the architecture's.
    local = "variable line : line_t;"
    assert memory(declared.format("line"), local=local).attribute is None
