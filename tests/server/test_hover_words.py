"""How a hover names the words and bits of a cut."""

from __future__ import annotations

from memlint.engine.engine import check_text
from memlint.server.hover import hover_text

DEEP = """module delay_line (input logic clk, we, input logic [11:0] wa, ra, input logic [39:0] d, output logic [39:0] q);
  logic [39:0] line [0:2048]; // @mem in block
  always_ff @(posedge clk) begin if (we) line[wa] <= d; q <= line[ra]; end
endmodule
"""


def test_a_single_word_is_no_range() -> None:
    judged = check_text(DEEP)
    (view,) = judged.memories
    text = hover_text([view], view.memory.span, judged).plain()
    assert "word 2,048, bits" in text
    assert "words 2,048 to 2,048" not in text
