"""The rule unequal-port-widths."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.reading.intent.clauses import Ports
from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule, Severity
from memlint.rules.placed import asked_here, chosen, obstacle
from memlint.rules.view import MemoryView


class UnequalPortWidths(Rule):
    """A memory is written and read in different widths, which its tier cannot do.

    Why it costs:
        Blocks that have one shape at a time need the width change outside: words collected on the way
        in or picked apart on the way out. A tier that has it, has it only between widths of one group
        and up to some ratio. An error, because the stated ports cannot be had there.

    Example:
        module telemetry_pack (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk; ports 1w(40) 1r(10)
            logic [39:0] words [0:8191];
            always_ff @(posedge clk) begin
                if (we) words[wa] <= d;
                q <= words[ra];
            end
        endmodule

    Mended:
        module telemetry_pack (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk; ports 1w 1r
            logic [39:0] words [0:8191];
            always_ff @(posedge clk) begin
                if (we) words[wa] <= d;
                q <= words[ra];
            end
        endmodule
    """

    name = "unequal-port-widths"
    family = "features"
    severity = Severity.ERROR

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, tier, clause = view.memory, chosen(view), view.clause(Ports)
        if tier is None or clause is None:
            return
        write, read = clause.write_width, clause.read_width
        if write is None or read is None or write == read:
            return
        reason = obstacle(view, "widths")
        if reason is None and tier.unequal_port_widths is not False:
            return
        why = reason.text if reason is not None else f"all ports of a `{tier.name}` block have one width"
        wide = max(write, read)
        yield self.finding(
            f"`{memory.name}` is written {write} and read {wording.plural(read, 'bit')} wide: {why}",
            memory.span,
            paths=(memory.path,),
            related=[Related(clause.span, "the widths are stated here"), *asked_here(view)],
            numbers={"write_width": write, "read_width": read, "tier": tier.name},
            help=[
                f"use {wide} bits on both sides, and collect or pick apart the words outside the memory",
                *wording.homes(view),
            ],
        )


RULE = UnequalPortWidths()
