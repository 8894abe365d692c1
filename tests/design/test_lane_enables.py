"""Lanes are parts of a word that can be written apart; how many statements write a word makes none.

Worked out by hand: parts written under one enable, at one address, on one clock, are one part. What is
written under no condition of its own beside the rest of the word is only a choice of data.
"""

from __future__ import annotations

import pytest
from snippets import only_memory

from memlint.design.design import DesignOptions, elaborate_design
from memlint.reading.vhdl.read import read_vhdl
from memlint.text.source import SourceText

MODULE = """
module top (input logic clk, we, hi, s, input logic [3:0] be, input logic [5:0] wa, wb, ra,
            input logic [31:0] d, e, output logic [31:0] q);
  logic [31:0] m [64];
  wire enable = we;
  always_ff @(posedge clk) q <= m[ra];
"""

ONE_PART = [
    # One enable, two statements; then four, in a loop.
    "always_ff @(posedge clk) if (we) begin m[wa][15:0] <= d[15:0]; m[wa][31:16] <= e[31:16]; end",
    "always_ff @(posedge clk) if (we) for (int i = 0; i < 4; i++) m[wa][8*i +: 8] <= d[8*i +: 8];",
    "always_ff @(posedge clk) for (int i = 0; i < 4; i++) if (we) m[wa][8*i +: 8] <= d[8*i +: 8];",
    # No enable at all.
    "always_ff @(posedge clk) begin m[wa][15:0] <= d[15:0]; m[wa][31:16] <= e[31:16]; end",
    # The same condition written twice; in another process; by another name.
    "always_ff @(posedge clk) begin if (we) m[wa][15:0] <= d[15:0]; if (we) m[wa][31:16] <= e[31:16]; end",
    "always_ff @(posedge clk) if (we) m[wa][15:0] <= d[15:0];"
    " always_ff @(posedge clk) if (we) m[wa][31:16] <= e[31:16];",
    "always_ff @(posedge clk) if (we) m[wa][15:0] <= d[15:0];"
    " always_ff @(posedge clk) if (enable) m[wa][31:16] <= e[31:16];",
    "always_ff @(posedge clk) begin if (we && hi) m[wa][15:0] <= d[15:0];"
    " if (hi) if (we) m[wa][31:16] <= e[31:16]; end",
    "for (genvar g = 0; g < 4; g++) begin : g_part"
    " always_ff @(posedge clk) if (we) m[wa][8*g +: 8] <= d[8*g +: 8]; end",
    # A part takes other data under a condition, but is written whenever the rest is.
    "always_ff @(posedge clk) if (we) begin m[wa][15:0] <= d[15:0];"
    " if (s) m[wa][31:16] <= d[31:16]; else m[wa][31:16] <= e[31:16]; end",
    "always_ff @(posedge clk) if (we) begin m[wa] <= d; if (s) m[wa][7:0] <= 8'h00; end",
    # Either branch writes the whole word.
    "always_ff @(posedge clk) if (s) begin m[wa][15:0] <= d[15:0]; m[wa][31:16] <= d[31:16]; end"
    " else begin m[wa][15:0] <= e[15:0]; m[wa][31:16] <= e[31:16]; end",
    "always_ff @(posedge clk) case (be) 4'd1: begin m[wa][15:0] <= d[15:0]; m[wa][31:16] <= d[31:16]; end"
    " default: ; endcase",
]

SEVERAL = [
    ("always_ff @(posedge clk) for (int i = 0; i < 4; i++) if (be[i]) m[wa][8*i +: 8] <= d[8*i +: 8];",
     (8, 8, 8, 8)),
    ("always_ff @(posedge clk) if (we) for (int i = 0; i < 4; i++)"
     " if (be[i]) m[wa][8*i +: 8] <= d[8*i +: 8];", (8, 8, 8, 8)),
    ("for (genvar g = 0; g < 4; g++) begin : g_part"
     " always_ff @(posedge clk) if (be[g]) m[wa][8*g +: 8] <= d[8*g +: 8]; end", (8, 8, 8, 8)),
    # Two bytes share an enable, two have their own.
    ("always_ff @(posedge clk) begin if (be[0]) begin m[wa][7:0] <= d[7:0]; m[wa][15:8] <= d[15:8]; end"
     " if (be[1]) m[wa][23:16] <= d[23:16]; if (be[2]) m[wa][31:24] <= d[31:24]; end", (16, 8, 8)),
    # The upper half needs one condition more.
    ("always_ff @(posedge clk) if (we) begin m[wa][15:0] <= d[15:0];"
     " if (hi) m[wa][31:16] <= e[31:16]; end", (16, 16)),
    # One enable, but two words.
    ("always_ff @(posedge clk) if (we) begin m[wa][15:0] <= d[15:0]; m[wb][31:16] <= e[31:16]; end", (16, 16)),
    # The opposite condition is another one.
    ("always_ff @(posedge clk) if (we) m[wa][15:0] <= d[15:0]; else m[wa][31:16] <= e[31:16];", (16, 16)),
    # A part of the word is never written: the rest is still apart from it.
    ("always_ff @(posedge clk) if (we) m[wa][23:0] <= d[23:0];", (24, 8)),
    # The arms of a case are different conditions, of two cases with different arms too.
    ("always_ff @(posedge clk) case (be) 4'd1: m[wa][15:0] <= d[15:0];"
     " default: m[wa][31:16] <= e[31:16]; endcase", (16, 16)),
    ("always_ff @(posedge clk) begin case (be) 4'd1, 4'd2: m[wa][15:0] <= d[15:0]; endcase"
     " case (be) 4'd1: m[wa][31:16] <= e[31:16]; endcase end", (16, 16)),
    ("always_ff @(posedge clk) begin case (be) 4'd0: ; 4'd1: m[wa][15:0] <= d[15:0]; endcase"
     " if (be == 4'd1) ; else m[wa][31:16] <= e[31:16]; end", (16, 16)),
    # A variable that changes between two uses is two conditions.
    ("logic on; always_ff @(posedge clk) begin on = be[0]; if (on) m[wa][15:0] <= d[15:0];"
     " on = be[1]; if (on) m[wa][31:16] <= e[31:16]; end", (16, 16)),
]  # fmt: skip


@pytest.mark.parametrize("body", ONE_PART)
def test_parts_under_one_enable_are_one(body: str) -> None:
    assert only_memory(f"{MODULE}{body}\nendmodule").lanes == ()


@pytest.mark.parametrize(("body", "lanes"), SEVERAL)
def test_parts_with_enables_of_their_own_are_lanes(body: str, lanes: tuple[int, ...]) -> None:
    assert only_memory(f"{MODULE}{body}\nendmodule").lanes == lanes


ENTITY = """
library ieee; use ieee.std_logic_1164.all; use ieee.numeric_std.all;
entity top is port (clk, we : in std_logic; be : in std_logic_vector(3 downto 0); wa, ra : in unsigned(5 downto 0);
  d : in std_logic_vector(31 downto 0); q : out std_logic_vector(31 downto 0)); end entity;
architecture rtl of top is
  type store_t is array (0 to 63) of std_logic_vector(31 downto 0);
  signal m : store_t;
begin
  process (clk) begin if rising_edge(clk) then q <= m(to_integer(ra)); end if; end process;
  process (clk) begin if rising_edge(clk) then
"""
PART = "m(to_integer(wa))(8*i+7 downto 8*i) <= d(8*i+7 downto 8*i);"


@pytest.mark.parametrize(
    ("statements", "lanes"),
    [
        (f"if we = '1' then for i in 0 to 3 loop {PART} end loop; end if;", ()),
        (f"for i in 0 to 3 loop if be(i) = '1' then {PART} end if; end loop;", (8, 8, 8, 8)),
        (f"if we = '1' then for i in 0 to 3 loop if be(i) = '1' then {PART} end if; end loop; end if;",
         (8, 8, 8, 8)),
        ("if we = '1' then m(to_integer(wa))(15 downto 0) <= d(15 downto 0);"
         " m(to_integer(wa))(31 downto 16) <= d(31 downto 16); end if;", ()),
        ("if we = '1' then m(to_integer(wa))(15 downto 0) <= d(15 downto 0); end if;"
         " if be(0) = '1' then m(to_integer(wa))(31 downto 16) <= d(31 downto 16); end if;", (16, 16)),
    ],
)  # fmt: skip
def test_the_same_in_vhdl(statements: str, lanes: tuple[int, ...]) -> None:
    text = f"{ENTITY}{statements} end if; end process; end architecture;"
    facts = read_vhdl(SourceText("top.vhd", text))
    assert not facts.problems
    (memory,) = elaborate_design([facts], DesignOptions(tops=("top",))).memories
    assert memory.lanes == lanes
