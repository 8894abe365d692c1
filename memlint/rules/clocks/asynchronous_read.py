"""The rule asynchronous-read."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.rules import wording
from memlint.rules.base import Finding, Rule, Severity
from memlint.rules.placed import asked_here, chosen
from memlint.rules.read_words import REMEDIES, asynchronous_reads, places_of_reads
from memlint.rules.view import MemoryView


class AsynchronousRead(Rule):
    """A memory is read without a clock, in a tier that only reads on one.

    Why it costs:
        A block reads at a clock edge: either its address or its word is held in a register right at
        the block. A read whose word goes through an adder or a multiplexer first, with no register on
        the address either, has no such edge, and the build then makes the whole array from logic. One
        such read is enough. An error, because the chosen tier cannot be what gets built.

    Example:
        module grain_classifier (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d, bias,
            output logic [39:0] q
        );
            // @mem in bulk
            logic [39:0] table_of_grains [0:8191];
            always_ff @(posedge clk) begin
                if (we) table_of_grains[wa] <= d;
                q <= table_of_grains[ra] + bias;
            end
        endmodule

    Mended:
        module grain_classifier (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d, bias,
            output logic [39:0] q
        );
            // @mem in bulk
            logic [39:0] table_of_grains [0:8191];
            logic [39:0] word;
            always_ff @(posedge clk) begin
                if (we) table_of_grains[wa] <= d;
                word <= table_of_grains[ra];
                q <= word + bias;
            end
        endmodule
    """

    name = "asynchronous-read"
    family = "clocks"
    severity = Severity.ERROR

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, tier = view.memory, chosen(view)
        if tier is None or tier.read != "synchronous" or memory.read != "asynchronous":
            return
        reads = asynchronous_reads(memory)
        first = reads[0] if reads else None
        at = wording.at_address(first) if first else ""
        reason = f": the word {first.reason}" if first and first.reason else ""
        yield self.finding(
            f"`{memory.name}` is read without a clock{at}, but `{tier.name}` reads only on one{reason}",
            first.span if first else memory.span,
            paths=(memory.path,),
            related=[*places_of_reads(reads, first=False), *asked_here(view)],
            numbers={"asynchronous_reads": len(reads), "tier": tier.name},
            help=[*REMEDIES, *wording.homes(view)],
        )


RULE = AsynchronousRead()
