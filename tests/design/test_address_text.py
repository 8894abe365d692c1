"""Addresses as messages show them: with the parentheses that their meaning needs."""

from __future__ import annotations

import pytest
from snippets import only_memory

from memlint.design.design import DesignOptions, elaborate_design
from memlint.design.memory import Memory
from memlint.reading.vhdl.read import read_vhdl
from memlint.text.source import SourceText

MODULE = """
module top #(parameter int DEPTH = 24) (input logic clk, we, up, input logic [4:0] a, b, c,
                                        input logic [7:0] d, output logic [7:0] q);
  logic [7:0] ring [DEPTH];
  always_ff @(posedge clk) begin if (we) ring[a] <= d; q <= ring[ADDRESS]; end
endmodule
"""
ENTITY = """
library ieee; use ieee.std_logic_1164.all; use ieee.numeric_std.all;
entity top is generic (DEPTH : integer := 24); port (clk, we : in std_logic; wp, rp : in integer range 0 to 23;
  delay : in unsigned(4 downto 0); d : in std_logic_vector(7 downto 0); q : out std_logic_vector(7 downto 0)); end;
architecture rtl of top is
  type words is array (0 to DEPTH - 1) of std_logic_vector(7 downto 0);
  signal ring : words;
begin
  process (clk) begin
    if rising_edge(clk) then
      if we = '1' then ring(wp) <= d; end if;
      q <= ring(ADDRESS);
    end if;
  end process;
end;
"""


def read_at(memory: Memory) -> str:
    (shown,) = {one.address for port in memory.ports for one in port.accesses if one.kind == "read"}
    return shown


@pytest.mark.parametrize(
    ("address", "shown"),
    [
        ("(wp + DEPTH - to_integer(delay)) mod DEPTH", "(wp + depth - delay) mod depth"),
        ("wp + (DEPTH - rp) mod DEPTH", "wp + (depth - rp) mod depth"),
        ("wp - (rp - 1)", "wp - (rp - 1)"),
        ("wp + (rp + 1)", "wp + rp + 1"),
        ("(-wp) mod DEPTH", "(-wp) mod depth"),
        ("-(wp mod DEPTH) + rp", "-(wp mod depth) + rp"),
        ("wp * (-rp)", "wp * (-rp)"),
        ("to_integer(delay + 1) * 2", "(delay + 1) * 2"),
    ],
)
def test_parentheses_in_vhdl(address: str, shown: str) -> None:
    """The precedence of operators: IEEE Std 1076-2008, 9.2.1."""
    facts = read_vhdl(SourceText("top.vhd", ENTITY.replace("ADDRESS", address)))
    (memory,) = elaborate_design([facts], DesignOptions(tops=("top",))).memories
    assert read_at(memory) == shown


@pytest.mark.parametrize(
    ("address", "shown"),
    [
        ("(a + DEPTH - b) % DEPTH", "(a + DEPTH - b) % DEPTH"),
        ("a + b * c", "a + b * c"),
        ("(a + b) * c", "(a + b) * c"),
        ("a - (b - c)", "a - (b - c)"),
        ("a - b - c", "a - b - c"),
        ("(a | b) & c", "(a | b) & c"),
        ("a | b & c", "a | b & c"),
        ("(a & b) == c", "(a & b) == c"),
        ("(a << 1) + b", "(a << 1) + b"),
        ("~(a ^ b)", "~(a ^ b)"),
        ("~a ^ b", "~a ^ b"),
        ("up ? a : b + 1", "up ? a : b + 1"),
        ("(up ? a : b) + 1", "(up ? a : b) + 1"),
        ("(up ? a[0] : up) ? a : b", "(up ? a[0] : up) ? a : b"),
        ("5'(a + b) % 5'd24", "(a + b) % 24"),
        ("&{a, b} & (|c)", "&{a, b} & |c"),
    ],
)
def test_parentheses_in_systemverilog(address: str, shown: str) -> None:
    """The precedence of operators: IEEE Std 1800-2017, table 11-2."""
    assert read_at(only_memory(MODULE.replace("ADDRESS", address))) == shown


def test_an_array_of_one_word_a_bank_has_no_address_to_quote() -> None:
    memory = only_memory(
        "module top (input logic clk, en, input logic [3:0] tap, input logic [7:0] d, output logic [7:0] q);\n"
        "  logic [7:0] line [16];\n  always_ff @(posedge clk) begin\n"
        "    if (en) begin line[0] <= d; for (int i = 1; i < 16; i++) line[i] <= line[i-1]; end\n"
        "    q <= line[tap];\n  end\nendmodule\n"
    )
    said = [note.text for note in memory.decisions]
    assert "written at the only word on top.clk" in said
    assert not [text for text in said if "`the only word`" in text]
