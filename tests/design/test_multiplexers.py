"""What may stand between a word and its register (design.md, "Reads"): enable, reset and bypass, no more.

Each way of writing the same hardware gives the same answer. Worked out by hand: the register's own value
in the other branch is its enable, a constant its synchronous reset, the word being written a bypass; any
other word is data that a multiplexer joins to the one read.
"""

from __future__ import annotations

import pytest
from snippets import design_of, only_memory

from memlint.design.design import DesignOptions, elaborate_design
from memlint.design.memory import Access, Memory
from memlint.reading.vhdl.read import read_vhdl
from memlint.text.source import SourceText

SYSTEMVERILOG = """
module top (input logic clk, we, s, re, clr, input logic [5:0] wa, ra, rb, input logic [7:0] d, e,
            output logic [7:0] q, output logic [7:0] seen);
  logic [7:0] m [64];
  logic [7:0] nx, ny, hold;
  always_ff @(posedge clk) if (we) m[wa] <= d;
"""

# Other data `e` in front of the register.
OTHER_DATA = [
    "always_ff @(posedge clk) if (s) q <= e; else q <= m[ra];",
    "always_ff @(posedge clk) q <= s ? e : m[ra];",
    "assign nx = s ? e : m[ra]; always_ff @(posedge clk) q <= nx;",
    "always_comb if (s) nx = e; else nx = m[ra]; always_ff @(posedge clk) q <= nx;",
    "always_comb begin nx = m[ra]; if (s) nx = e; end always_ff @(posedge clk) q <= nx;",
    "always_comb begin nx = e; if (s) nx = m[ra]; end always_ff @(posedge clk) q <= nx;",
    "assign nx = m[ra]; assign ny = s ? e : nx; always_ff @(posedge clk) q <= ny;",
    "assign ny = e; assign nx = s ? ny : m[ra]; always_ff @(posedge clk) q <= nx;",
    # The other input is sometimes the register, sometimes other data.
    "assign hold = clr ? e : q; assign nx = s ? hold : m[ra]; always_ff @(posedge clk) q <= nx;",
    # Another register's value, or this one's turned, is not this register's own.
    "assign nx = re ? m[ra] : seen; always_ff @(posedge clk) begin q <= nx; seen <= e; end",
    "assign nx = re ? m[ra] : {q[0], q[7:1]}; always_ff @(posedge clk) q <= nx;",
    "always_ff @(posedge clk) q <= re ? m[ra] : {q[0], q[7:1]};",
]

ENABLE = [
    "always_ff @(posedge clk) if (re) q <= m[ra];",
    "always_ff @(posedge clk) q <= re ? m[ra] : q;",
    "assign nx = re ? m[ra] : q; always_ff @(posedge clk) q <= nx;",
    "always_comb begin nx = q; if (re) nx = m[ra]; end always_ff @(posedge clk) q <= nx;",
    "always_comb if (re) nx = m[ra]; else nx = q; always_ff @(posedge clk) q <= nx;",
    "assign hold = q; assign nx = re ? m[ra] : hold; always_ff @(posedge clk) q <= nx;",
    "assign nx = re ? m[ra] : q; assign ny = nx; always_ff @(posedge clk) q <= ny;",
    "always_comb case (s) 1'b1: nx = m[ra]; default: nx = q; endcase always_ff @(posedge clk) q <= nx;",
    "assign nx[3:0] = re ? m[ra][3:0] : q[3:0]; assign nx[7:4] = re ? m[ra][7:4] : q[7:4];"
    " always_ff @(posedge clk) q <= nx;",
]

RESET = [
    "always_ff @(posedge clk) if (clr) q <= '0; else q <= m[ra];",
    "always_ff @(posedge clk) q <= clr ? 8'h00 : m[ra];",
    "assign nx = clr ? 8'h00 : m[ra]; always_ff @(posedge clk) q <= nx;",
    "always_comb begin nx = m[ra]; if (clr) nx = '1; end always_ff @(posedge clk) q <= nx;",
    "always_comb begin nx = q; if (re) nx = m[ra]; if (clr) nx = '0; end always_ff @(posedge clk) q <= nx;",
    "assign nx = re ? m[ra] : q; assign ny = clr ? 8'h5a : nx; always_ff @(posedge clk) q <= ny;",
    "assign nx = m[ra]; always_ff @(posedge clk) if (clr) q <= 8'd3; else if (re) q <= nx;",
    "assign hold = clr ? 8'h00 : q; assign nx = re ? m[ra] : hold; always_ff @(posedge clk) q <= nx;",
]

BYPASS = [
    "always_ff @(posedge clk) if (we && wa == ra) q <= d; else q <= m[ra];",
    "always_ff @(posedge clk) q <= we && wa == ra ? d : m[ra];",
    "assign nx = we && wa == ra ? d : m[ra]; always_ff @(posedge clk) q <= nx;",
    "always_comb begin nx = m[ra]; if (we && wa == ra) nx = d; end always_ff @(posedge clk) q <= nx;",
    "assign ny = d; assign nx = we && wa == ra ? ny : m[ra]; always_ff @(posedge clk) if (re) q <= nx;",
]


def _read(memory: Memory) -> Access:
    (access,) = [one for port in memory.ports for one in port.accesses if one.kind == "read"]
    return access


@pytest.mark.parametrize("body", OTHER_DATA)
def test_other_data_beside_the_word_is_logic_and_named(body: str) -> None:
    memory = only_memory(f"{SYSTEMVERILOG}{body}\nendmodule")
    assert memory.read == "asynchronous"
    access = _read(memory)
    assert access.reason.startswith("goes through a multiplexer")
    assert access.reason_span is not None


@pytest.mark.parametrize("body", [*ENABLE, *RESET])
def test_enable_and_reset_of_the_register_are_no_logic(body: str) -> None:
    memory = only_memory(f"{SYSTEMVERILOG}{body}\nendmodule")
    assert memory.read == "synchronous"
    assert {clock.net for clock in memory.clocks} == {"top.clk"}
    # Nothing passes by the array: a read at the edge of a write takes the word from before it.
    assert memory.same_address == "before"


@pytest.mark.parametrize("body", BYPASS)
def test_the_word_being_written_may_pass_by_the_array(body: str) -> None:
    memory = only_memory(f"{SYSTEMVERILOG}{body}\nendmodule")
    assert memory.read == "synchronous"
    assert memory.same_address == "after"


def test_the_other_input_is_named() -> None:
    memory = only_memory(f"{SYSTEMVERILOG}{OTHER_DATA[2]}\nendmodule")
    assert _read(memory).reason == "goes through a multiplexer whose other input is `e`"


def test_an_enable_needs_its_register_behind_it() -> None:
    # The multiplexer's word is also seen without the register.
    body = "assign nx = re ? m[ra] : q; always_ff @(posedge clk) q <= nx; assign seen = nx;"
    memory = only_memory(f"{SYSTEMVERILOG}{body}\nendmodule")
    assert memory.read == "asynchronous"
    # Cleared by a condition, then seen without any register.
    body = "assign seen = clr ? 8'h00 : m[ra];"
    memory = only_memory(f"{SYSTEMVERILOG}{body}\nendmodule")
    assert memory.read == "asynchronous"
    assert _read(memory).reason == "leaves the design through the port `seen` without a register"


def test_a_branch_that_is_missing_is_a_latch() -> None:
    body = "always_comb if (re) nx = m[ra]; always_ff @(posedge clk) q <= nx;"
    memory = only_memory(f"{SYSTEMVERILOG}{body}\nendmodule")
    assert memory.read == "asynchronous"
    assert _read(memory).reason == "is held by a latch: nothing else is assigned to `nx`"


@pytest.mark.parametrize(("last", "read"), [("q", "synchronous"), ("e", "asynchronous")])
def test_wires_that_meet_again_and_again_are_each_followed_once(last: str, read: str) -> None:
    # By every way through them there would be 2^40.
    count = 40
    wires = [f"logic [7:0] w{n};" for n in range(count + 1)]
    wires += [f"assign w{n} = wa[{n % 6}] ? w{n + 1} : w{n + 1};" for n in range(count)]
    body = f"assign w{count} = {last}; assign nx = re ? m[ra] : w0; always_ff @(posedge clk) q <= nx;"
    assert only_memory(f"{SYSTEMVERILOG}{' '.join(wires)} {body}\nendmodule").read == read
    # The same on the word's own way, with the register's value beside it each time.
    wires = [f"logic [7:0] w{n};" for n in range(count + 1)]
    wires += [f"assign w{n + 1} = wa[{n % 6}] ? w{n} : (s ? {last} : w{n});" for n in range(count)]
    body = f"assign w0 = m[ra]; always_ff @(posedge clk) q <= w{count};"
    assert only_memory(f"{SYSTEMVERILOG}{' '.join(wires)} {body}\nendmodule").read == read


REGISTER = """
module register (input logic clk, input logic [7:0] next, output logic [7:0] now);
  always_ff @(posedge clk) now <= next;
endmodule
"""


@pytest.mark.parametrize(
    ("instance", "read"),
    [
        # The register stands in a unit of its own; its output comes back as the other input.
        ("register r (.clk, .next(re ? m[ra] : q), .now(q));", "synchronous"),
        ("assign nx = re ? m[ra] : q; register r (.clk, .next(nx), .now(q));", "synchronous"),
        ("assign nx = clr ? '0 : m[ra]; register r (.clk, .next(nx), .now(q));", "synchronous"),
        ("assign nx = we && wa == ra ? d : m[ra]; register r (.clk, .next(nx), .now(q));", "synchronous"),
        ("assign nx = re ? m[ra] : e; register r (.clk, .next(nx), .now(q));", "asynchronous"),
        ("register r (.clk, .next(re ? m[ra] : e), .now(q));", "asynchronous"),
    ],
)
def test_the_register_may_stand_in_another_unit(instance: str, read: str) -> None:
    design = design_of(f"{REGISTER}{SYSTEMVERILOG}{instance}\nendmodule")
    (memory,) = design.memories
    assert memory.read == read


VHDL = """
library ieee; use ieee.std_logic_1164.all; use ieee.numeric_std.all;
entity top is port (clk, we, re, clr : in std_logic; wa, ra : in unsigned(5 downto 0);
  d, e : in std_logic_vector(7 downto 0); q : out std_logic_vector(7 downto 0)); end entity;
architecture rtl of top is
  type store_t is array (0 to 63) of std_logic_vector(7 downto 0);
  type state_t is record word, other : std_logic_vector(7 downto 0); end record;
  constant CLEARED : state_t := (others => (others => '0'));
  signal m : store_t;
  signal r, rin : state_t;
  signal nx : std_logic_vector(7 downto 0);
begin
  q <= r.word;
  process (clk) begin if rising_edge(clk) then
    if we = '1' then m(to_integer(wa)) <= d; end if;
  end if; end process;
"""
TAKEN = "process (clk) begin if rising_edge(clk) then r.word <= nx; end if; end process;"
STATE = "process (clk) begin if rising_edge(clk) then r <= rin; end if; end process;"
WORD = "m(to_integer(ra))"


def _two_process(statements: str) -> str:
    return (
        f"process (all) variable v : state_t; begin v := r; v.other := e; {statements} rin <= v;"
        f" end process; {STATE}"
    )


@pytest.mark.parametrize(
    ("body", "read", "same_address"),
    [
        (f"nx <= {WORD} when re = '1' else r.word; {TAKEN}", "synchronous", "before"),
        (f"nx <= {WORD} when clr = '0' else (others => '0'); {TAKEN}", "synchronous", "before"),
        (f"nx <= d when we = '1' and wa = ra else {WORD}; {TAKEN}", "synchronous", "after"),
        (f"nx <= {WORD} when re = '1' else e; {TAKEN}", "asynchronous", None),
        (f"nx <= {WORD} when re = '1' else r.other; {TAKEN}", "asynchronous", None),
        (
            f"process (all) begin nx <= r.word; if re = '1' then nx <= {WORD}; end if; end process; {TAKEN}",
            "synchronous",
            "before",
        ),
        (
            f"process (all) begin nx <= e; if re = '1' then nx <= {WORD}; end if; end process; {TAKEN}",
            "asynchronous",
            None,
        ),
        (_two_process(f"if re = '1' then v.word := {WORD}; end if;"), "synchronous", "before"),
        (_two_process(f"v.word := {WORD}; if clr = '1' then v := CLEARED; end if;"), "synchronous", "before"),
        (_two_process(f"v.word := {WORD}; if we = '1' and wa = ra then v.word := d; end if;"),
         "synchronous", "after"),
        (_two_process(f"v.word := {WORD}; if clr = '1' then v.word := e; end if;"), "asynchronous", None),
        (_two_process(f"v.word := r.other; if re = '1' then v.word := {WORD}; end if;"), "asynchronous", None),
        # A variable inside the clocked process.
        (
            "process (clk) variable v : std_logic_vector(7 downto 0); begin if rising_edge(clk) then"
            f" v := r.word; if re = '1' then v := {WORD}; end if; r.word <= v; end if; end process;",
            "synchronous",
            "before",
        ),
        (
            "process (clk) variable v : std_logic_vector(7 downto 0); begin if rising_edge(clk) then"
            f" v := e; if re = '1' then v := {WORD}; end if; r.word <= v; end if; end process;",
            "asynchronous",
            None,
        ),
    ],
)  # fmt: skip
def test_the_same_in_vhdl(body: str, read: str, same_address: str | None) -> None:
    facts = read_vhdl(SourceText("top.vhd", f"{VHDL}{body}\nend architecture;"))
    assert not facts.problems
    (memory,) = elaborate_design([facts], DesignOptions(tops=("top",))).memories
    assert (memory.read, memory.same_address) == (read, same_address)
