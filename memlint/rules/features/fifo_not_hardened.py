"""The rule fifo-not-hardened."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.reading.intent.clauses import Fifo
from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule, Severity
from memlint.rules.placed import asked_here, chosen
from memlint.rules.view import MemoryView


class FifoNotHardened(Rule):
    """A FIFO is in a tier without FIFO logic of its own, while another tier has it.

    Why it costs:
        Pointers, flags and, between two clocks, the crossing of both are logic one has to build,
        constrain and verify. Where a tier has them in hardware they are free. A note: soft FIFO logic
        is ordinary, and a deep FIFO may be worth it.

    Example:
        module telemetry_queue (
            input  logic        clk, push,
            input  logic [12:0] head, tail,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk; fifo
            logic [39:0] queue [0:8191];
            always_ff @(posedge clk) begin
                if (push) queue[head] <= d;
                q <= queue[tail];
            end
        endmodule

    Mended:
        module telemetry_queue (
            input  logic        clk, push,
            input  logic [8:0]  head, tail,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in block; fifo
            logic [39:0] queue [0:511];
            always_ff @(posedge clk) begin
                if (push) queue[head] <= d;
                q <= queue[tail];
            end
        endmodule
    """

    name = "fifo-not-hardened"
    family = "features"
    severity = Severity.NOTE

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, tier, clause = view.memory, chosen(view), view.clause(Fifo)
        if tier is None or clause is None or tier.hard_fifo is not False:
            return
        homes = []
        for other in view.elsewhere:
            other_tier = view.device.tier(other.tier)
            if other_tier is not None and other_tier.hard_fifo:
                homes.append(wording.placed_on(other))
        if not homes:
            return
        yield self.finding(
            f"`{memory.name}` is a FIFO, and `{tier.name}` has no FIFO logic of its own",
            memory.span,
            paths=(memory.path,),
            related=[Related(clause.span, "it is called a FIFO here"), *asked_here(view)],
            numbers={"tier": tier.name},
            help=[f"hardened FIFO logic {home}" for home in homes],
        )


RULE = FifoNotHardened()
