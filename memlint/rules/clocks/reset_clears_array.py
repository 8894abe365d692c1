"""The rule reset-clears-array."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule, Severity
from memlint.rules.placed import asked_here, chosen
from memlint.rules.view import MemoryView


class ResetClearsArray(Rule):
    """A reset clears every word of a memory, which only registers can do.

    Why it costs:
        A block has one address per port; nothing in it clears all words at once. The loop in the reset
        branch looks harmless and turns the whole array into flip-flops, one a bit, with a multiplexer
        over all of them. An error, because the chosen tier cannot be what gets built.

    Example:
        module reject_counts (
            input  logic        clk, rst, we,
            input  logic [9:0]  wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in block
            logic [39:0] counts [0:1023];
            always_ff @(posedge clk) begin
                if (rst)
                    for (int i = 0; i < 1024; i++) counts[i] <= '0;
                else if (we)
                    counts[wa] <= d;
                q <= counts[ra];
            end
        endmodule

    Mended:
        module reject_counts (
            input  logic        clk, rst, we,
            input  logic [9:0]  wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in block
            logic [39:0] counts [0:1023];
            logic [9:0]  sweep;
            always_ff @(posedge clk) begin
                sweep <= sweep + 10'd1;
                if (rst)
                    counts[sweep] <= '0;
                else if (we)
                    counts[wa] <= d;
                q <= counts[ra];
            end
        endmodule
    """

    name = "reset-clears-array"
    family = "clocks"
    severity = Severity.ERROR

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, tier = view.memory, chosen(view)
        if tier is None or tier.role == "registers" or memory.reset is None:
            return
        words = "" if memory.depth is None else f" all {wording.amount(memory.depth)} words of"
        flip_flops = "" if memory.bits is None else f": {wording.plural(memory.bits, 'flip-flop')}"
        yield self.finding(
            f"a reset clears{words} `{memory.name}`, which `{tier.name}` cannot do",
            memory.reset,
            paths=(memory.path,),
            related=[Related(memory.span, f"`{memory.name}` is declared here"), *asked_here(view)],
            numbers={"depth": memory.depth, "width": memory.width, "tier": tier.name},
            help=[
                "take the array out of the reset, and keep a valid bit a word if old words must not be seen",
                "or clear it word by word with a counter on the write port, one word a cycle",
                f"or say `in registers`{flip_flops}",
            ],
        )


RULE = ResetClearsArray()
