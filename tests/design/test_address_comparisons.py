"""Whether the code compares read and write address (design.md, section 5, `same-address-unsafe`)."""

from __future__ import annotations

import pytest
from snippets import design_of, only_memory

from memlint.design.design import DesignOptions, elaborate_design
from memlint.reading.vhdl.read import read_vhdl
from memlint.text.source import SourceText

MODULE = """
module top (input logic clk, we, re, input logic [5:0] wa, ra, rb, input logic [7:0] d, output logic [7:0] q);
  logic [7:0] m [64];
  logic [7:0] word, d_q;
  logic [5:0] wa_q, ra_q, at;
  logic same, we_q;
"""
STORE = "always_ff @(posedge clk) begin if (we) m[wa] <= d; word <= m[ra]; end"


@pytest.mark.parametrize(
    ("body", "where"),
    [
        # A bypass behind the read register, its condition registered or worked out from registered addresses.
        (f"{STORE} always_ff @(posedge clk) begin same <= we && wa == ra; d_q <= d; end"
         " assign q = same ? d_q : word;", "wa == ra"),
        (f"{STORE} always_ff @(posedge clk) begin wa_q <= wa; ra_q <= ra; we_q <= we; d_q <= d; end"
         " assign q = we_q && ra_q == wa_q ? d_q : word;", "ra_q == wa_q"),
        # The enables keep the two apart.
        ("always_ff @(posedge clk) begin if (we) m[wa] <= d; if (re && ra != wa) q <= m[ra]; end", "ra != wa"),
        # Through plain wires.
        (f"assign at = wa; assign same = ra == at; {STORE} assign q = same ? 8'h0 : word;", "ra == at"),
        # A bypass in front of the register.
        ("always_ff @(posedge clk) begin if (we) m[wa] <= d; q <= we && wa == ra ? d : m[ra]; end", "wa == ra"),
        # A registered address that is compared behind its register.
        ("always_ff @(posedge clk) begin if (we) m[wa] <= d; at <= ra; wa_q <= wa; end"
         " assign word = m[at]; assign same = at == wa_q; always_comb q = same ? d_q : word;", "at == wa_q"),
        # Pointers with one bit more than the address.
        ("logic [6:0] wp, rp; always_ff @(posedge clk) begin if (we) m[wp[5:0]] <= d;"
         " if (wp != rp) q <= m[rp[5:0]]; end", "wp != rp"),
    ],
)  # fmt: skip
def test_a_comparison_of_the_two_addresses_is_found(body: str, where: str) -> None:
    text = f"{MODULE}{body}\nendmodule"
    compared = only_memory(text).compared
    assert compared is not None
    assert text[compared.start : compared.end] == where


@pytest.mark.parametrize(
    "body",
    [
        f"{STORE} assign q = word;",
        # Another address, a constant, an order, a comparison that only verifies.
        f"{STORE} assign q = wa == rb ? d : word;",
        f"{STORE} assign q = wa == 6'd3 ? d : word;",
        f"{STORE} assign q = wa < ra ? d : word;",
        f"{STORE} assign q = word; always @(posedge clk) if (we && wa == ra) $error(\"they meet\");",
        f"{STORE} assign q = word; assert property (@(posedge clk) we |-> wa != ra);",
        f"{STORE} assign q = word; initial same = wa == ra;",
        # A second read that nothing compares.
        f"{STORE} logic [7:0] two; always_ff @(posedge clk) two <= m[rb]; assign q = wa == ra ? d : word ^ two;",
    ],
)  # fmt: skip
def test_anything_else_is_none(body: str) -> None:
    assert only_memory(f"{MODULE}{body}\nendmodule").compared is None


STORE_UNIT = """
module store (input logic clk, we, input logic [5:0] wa, ra, input logic [7:0] d, output logic [7:0] q);
  logic [7:0] m [64];
  always_ff @(posedge clk) begin if (we) m[wa] <= d; q <= m[ra]; end
endmodule
"""


@pytest.mark.parametrize(("left", "found"), [("write_at", True), ("read_at", False)])
def test_the_comparison_may_stand_where_the_ports_are_connected(left: str, found: bool) -> None:
    top = f"""
module top (input logic clk, we, input logic [5:0] write_at, read_at, input logic [7:0] d,
            output logic [7:0] q);
  logic [7:0] word;
  store u (.clk, .we, .wa(write_at), .ra(read_at), .d, .q(word));
  logic same;
  always_ff @(posedge clk) same <= we && {left} == read_at;
  assign q = same ? 8'h0 : word;
endmodule
"""
    (memory,) = design_of(f"{STORE_UNIT}{top}").memories
    assert (memory.compared is not None) is found


def test_in_vhdl() -> None:
    text = """
library ieee; use ieee.std_logic_1164.all; use ieee.numeric_std.all;
entity top is port (clk, we : in std_logic; wa, ra : in std_logic_vector(5 downto 0);
  d : in std_logic_vector(7 downto 0); q : out std_logic_vector(7 downto 0)); end entity;
architecture rtl of top is
  type store_t is array (0 to 63) of std_logic_vector(7 downto 0);
  signal m : store_t;
  signal word, held : std_logic_vector(7 downto 0);
  signal same : boolean;
begin
  process (clk) begin if rising_edge(clk) then
    if we = '1' then m(to_integer(unsigned(wa))) <= d; end if;
    word <= m(to_integer(unsigned(ra)));
    held <= d;
    same <= unsigned(wa) = unsigned(ra) and we = '1';
  end if; end process;
  q <= held when same else word;
end architecture;
"""
    facts = read_vhdl(SourceText("top.vhd", text))
    assert not facts.problems
    (memory,) = elaborate_design([facts], DesignOptions(tops=("top",))).memories
    assert memory.compared is not None
    assert text[memory.compared.start : memory.compared.end] == "unsigned(wa) = unsigned(ra)"


TWO = """
module top (input logic clk, we, input logic [5:0] x, y, input logic [7:0] d, output logic [7:0] q1, q2, both);
  logic [7:0] m1 [64], m2 [64];
  logic hit;
  always_ff @(posedge clk) begin if (we) begin m1[x] <= d; m2[x] <= d; end end
  BODY
  assign both = q1 ^ q2;
endmodule
"""


@pytest.mark.parametrize(
    ("body", "compared"),
    [
        # One bypass: it is nothing to the other memory, though the addresses are the same.
        ("always_ff @(posedge clk) begin q1 <= (we && x == y) ? d : m1[y]; q2 <= m2[y]; end", {"m1"}),
        ("always_ff @(posedge clk) begin q2 <= m2[y]; if (we && x == y) q1 <= d; else q1 <= m1[y]; end", {"m1"}),
        ("logic [7:0] w1; always_ff @(posedge clk) begin hit <= we && x == y; w1 <= m1[y]; q2 <= m2[y]; end"
         " assign q1 = hit ? d : w1;", {"m1"}),
        # The flag is set by a branch, and steers both.
        ("logic [7:0] w1, w2; always_ff @(posedge clk) begin if (we && x == y) hit <= 1; else hit <= 0;"
         " w1 <= m1[y]; w2 <= m2[y]; end assign q1 = hit ? d : w1; assign q2 = hit ? d : w2;", {"m1", "m2"}),
        # Masks do what a multiplexer does.
        ("logic [7:0] w1; always_ff @(posedge clk) begin hit <= we && x == y; w1 <= m1[y]; q2 <= m2[y]; end"
         " assign q1 = ({8{hit}} & d) | ({8{!hit}} & w1);", {"m1"}),
        # A comparison that goes somewhere else.
        ("always_ff @(posedge clk) begin hit <= x == y; q1 <= m1[y]; q2 <= m2[y]; end", set()),
        # The enable of one read.
        ("always_ff @(posedge clk) begin if (x != y) q1 <= m1[y]; q2 <= m2[y]; end", {"m1"}),
    ],
)  # fmt: skip
def test_a_comparison_counts_for_the_memory_it_steers(body: str, compared: set[str]) -> None:
    memories = design_of(TWO.replace("BODY", body)).memories
    assert {memory.name for memory in memories} == {"m1", "m2"}
    assert {memory.name for memory in memories if memory.compared is not None} == compared
