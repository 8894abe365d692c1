"""Sources as generators and tables of hard macros make them: long, and deeper than people write."""

from __future__ import annotations

from snippets import design_of, facts_of

from memlint.reading.facts.items import Skipped

STORE = """
module store #(parameter WORDS = 2, BITS = 8) (input clk, we, input [9:0] a, input [BITS-1:0] d,
                                              output reg [BITS-1:0] q);
  reg [BITS-1:0] words [0:WORDS-1];
  always @(posedge clk) begin if (we) words[a] <= d; q <= words[a]; end
endmodule
"""


def test_a_chain_of_hundreds_of_generate_branches_is_decided() -> None:
    branches = " else ".join(
        f"if (N == {n}) begin : macro store #({n}) u (clk, we, a, d, q); end" for n in range(2, 380)
    )
    # An intent in the file makes the reader walk all of it once more.
    text = f"""{STORE}
    module top #(parameter N = 379) (input clk, we, input [9:0] a, input [7:0] d, output [7:0] q);
      // @mem in block
      store #(16) u_first (clk, we, a, d, q);
      {branches} else begin : inferred store #(999) u (clk, we, a, d, q); end
    endmodule"""
    design = design_of(text)
    assert {one.path: one.depth for one in design.memories} == {
        "top.u_first.words": 16,
        "top.macro.u.words": 379,
    }
    assert not design.unread


def test_a_longer_chain_is_skipped_and_says_so() -> None:
    branches = " else ".join(f"if (N == {n}) store #({n}) u (clk, we, a, d, q);" for n in range(2, 600))
    text = f"{STORE} module top #(parameter N = 5) (input clk); {branches} endmodule"
    (_, top) = facts_of(text).units
    (skipped,) = [one for one in top.items if isinstance(one, Skipped)]
    assert skipped.what == "a generate `if` with more than 400 branches"


def test_a_struct_of_parameters_wider_than_a_number_can_be_printed_is_no_trouble() -> None:
    # 20,000 bits are more digits than Python prints; only the field matters.
    text = """
    package p;
      typedef struct packed { logic [19999:0] table_of; int columns; } config_t;
      localparam config_t C = '{table_of: '1, columns: 48};
    endpackage
    module store #(parameter p::config_t C = '0) (input clk, input [5:0] a, output reg q);
      reg words [C.columns];
      always @(posedge clk) begin words[a] <= q; q <= words[a]; end
    endmodule
    module top (input clk, input [5:0] a, output q);
      store #(.C(p::C)) u (clk, a, q);
    endmodule
    """
    (memory,) = design_of(text).memories
    assert memory.depth == 48
    assert any("`C` is a struct" in note.text for note in memory.sources)
