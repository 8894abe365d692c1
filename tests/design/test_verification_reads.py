"""Reads that only verify are no ports (design.md, section 4, "Ports").

Worked out by hand: a condition that decides nothing but what is reported puts no hardware behind the
memory's word; where nothing else reads it, the memory is written and never read.
"""

from __future__ import annotations

import pytest
from snippets import design_of

from memlint.design.design import DesignOptions, elaborate_design
from memlint.design.memory import Memory
from memlint.design.sharing import counts
from memlint.reading.vhdl.read import read_vhdl
from memlint.text.source import SourceText

MODULE = """
module top (input logic clk, we, check, input logic [5:0] wa, ra, input logic [7:0] d, wanted,
            output logic [7:0] q, output logic bad_word);
  logic [7:0] m [64];
  logic bad;
  logic [7:0] count;
  always_ff @(posedge clk) if (we) m[wa] <= d;
"""

ONLY_VERIFIES = [
    "always @(posedge clk) if (m[ra] !== wanted) $error(\"word %h\", m[ra]);",
    "always @(posedge clk) begin if (check) begin if (m[ra] !== wanted) $error(\"a\"); else $display(\"b\"); end end",
    "always @(posedge clk) if (check) assert (m[ra] == wanted);",
    "always @(posedge clk) assert (m[ra] == wanted) else $error(\"word\");",
    "assert property (@(posedge clk) check |-> m[ra] == wanted);",
    "cover property (@(posedge clk) m[ra] == wanted);",
    "always @(posedge clk) $display(\"%h\", m[ra]);",
    "always @(posedge clk) case (m[ra]) 8'h00: $display(\"none\"); default: ; endcase",
    "always @(posedge clk) for (int i = 0; i < 4; i++) if (m[ra + i] === 8'hxx) $fatal(1, \"x\");",
    "always_comb if (m[ra] == 8'hff) $warning(\"full\");",
    "initial begin #10; if (m[ra] !== wanted) $error(\"word\"); end",
    "initial for (int i = 0; i < 64; i++) if (m[i] !== 8'h00) $display(\"%d\", i);",
    # The comparison has a name, and only the report looks at it.
    "assign bad = m[ra] !== wanted; always @(posedge clk) if (bad) $error(\"word\");",
    "always_comb bad = check && m[ra] != wanted; assert property (@(posedge clk) !bad);",
]  # fmt: skip


def _memory(body: str) -> Memory:
    (memory,) = design_of(f"{MODULE}{body}\nendmodule").memories
    return memory


@pytest.mark.parametrize("body", ONLY_VERIFIES)
def test_a_memory_that_only_verification_reads_is_never_read(body: str) -> None:
    memory = _memory(body)
    assert memory.read == "none"
    assert counts(memory.ports) == {"w": 1}


@pytest.mark.parametrize("body", ONLY_VERIFIES)
def test_a_verifying_read_beside_a_real_one_changes_nothing(body: str) -> None:
    memory = _memory(f"{body} always_ff @(posedge clk) q <= m[ra];")
    assert memory.read == "synchronous"
    assert counts(memory.ports) == {"w": 1, "r": 1}


@pytest.mark.parametrize(
    "body",
    [
        # Something is stored, or leaves, depending on the word.
        "always @(posedge clk) if (m[ra] !== wanted) begin $error(\"word\"); count <= count + 1; end",
        "always @(posedge clk) if (m[ra] == wanted) $display(\"same\"); else count <= count + 1;",
        "assign bad = m[ra] !== wanted; always @(posedge clk) if (bad) $error(\"word\"); assign bad_word = bad;",
    ],
)  # fmt: skip
def test_a_condition_that_decides_more_is_a_read(body: str) -> None:
    memory = _memory(body)
    assert memory.read == "asynchronous"
    assert counts(memory.ports) == {"w": 1, "r": 1}


def test_an_address_register_may_be_verified() -> None:
    body = (
        "logic [5:0] at; always_ff @(posedge clk) at <= ra; assign q = m[at];"
        " always @(posedge clk) if (at > 6'd40) $error(\"outside\");"
    )  # fmt: skip
    assert _memory(body).read == "synchronous"


ENTITY = """
library ieee; use ieee.std_logic_1164.all; use ieee.numeric_std.all;
entity top is port (clk, we : in std_logic; wa, ra : in unsigned(5 downto 0);
  d, wanted : in std_logic_vector(7 downto 0); q : out std_logic_vector(7 downto 0)); end entity;
architecture rtl of top is
  type store_t is array (0 to 63) of std_logic_vector(7 downto 0);
  signal m : store_t;
begin
  process (clk) begin if rising_edge(clk) then
    if we = '1' then m(to_integer(wa)) <= d; end if;
  end if; end process;
"""


@pytest.mark.parametrize(
    "body",
    [
        "process (clk) begin if rising_edge(clk) then"
        ' assert m(to_integer(ra)) = wanted report "word" severity error; end if; end process;',
        "process (clk) begin if rising_edge(clk) then"
        ' if m(to_integer(ra)) /= wanted then report "word" severity error; end if; end if; end process;',
        'assert m(to_integer(ra)) = wanted report "word" severity warning;',
        "process begin wait until rising_edge(clk);"
        ' if m(to_integer(ra)) /= wanted then report "word"; else null; end if; end process;',
    ],
)
def test_the_same_in_vhdl(body: str) -> None:
    facts = read_vhdl(SourceText("top.vhd", f"{ENTITY}{body}\nend architecture;"))
    assert not facts.problems
    (memory,) = elaborate_design([facts], DesignOptions(tops=("top",))).memories
    assert memory.read == "none"
    assert counts(memory.ports) == {"w": 1}
