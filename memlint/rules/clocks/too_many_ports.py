"""The rule too-many-ports."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.design.memory import MemoryPort
from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule, Severity
from memlint.rules.placed import asked_here, chosen, obstacle
from memlint.rules.view import MemoryView


class TooManyPorts(Rule):
    """A memory needs more ports than any mode of its tier has, copies included.

    Why it costs:
        More reads than a block has can be had by writing the same words to several copies. More writes
        cannot: every copy needs every write, so a third write port leaves registers as the only home,
        one flip-flop a bit. An error, because the chosen tier cannot be what gets built.

    Example:
        module reject_counts (
            input  logic        clk, we_a, we_b, we_c,
            input  logic [9:0]  wa, wb, wc, ra,
            input  logic [39:0] da, db, dc,
            output logic [39:0] q
        );
            // @mem in block
            logic [39:0] counts [0:1023];
            always_ff @(posedge clk) begin
                if (we_a) counts[wa] <= da;
                if (we_b) counts[wb] <= db;
                if (we_c) counts[wc] <= dc;
                q <= counts[ra];
            end
        endmodule

    Mended:
        module reject_counts (
            input  logic        clk, we_a, we_b, we_c,
            input  logic [9:0]  wa, wb, wc, ra,
            input  logic [39:0] da, db, dc,
            output logic [39:0] q
        );
            // @mem in block
            logic [39:0] counts [0:1023];
            always_ff @(posedge clk) begin
                if (we_a) counts[wa] <= da;
                else if (we_b) counts[wb] <= db;
                else if (we_c) counts[wc] <= dc;
                q <= counts[ra];
            end
        endmodule
    """

    name = "too-many-ports"
    family = "clocks"
    severity = Severity.ERROR

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, tier, reason = view.memory, chosen(view), obstacle(view, "ports")
        if tier is None or reason is None:
            return
        w, r, rw = memory.count(True, False), memory.count(False, True), memory.count(True, True)
        yield self.finding(
            f"`{memory.name}` has {wording.memory_ports(memory)} after sharing, "
            f"which `{tier.name}` does not take: {reason.text}",
            memory.span,
            paths=(memory.path,),
            related=[*_ports(memory.ports), *asked_here(view)],
            numbers={"w": w, "r": r, "rw": rw, "tier": tier.name},
            help=[
                *wording.homes(view),
                "put writes that never happen together into exclusive branches of one process: "
                "they are one port",
                "or let the writers take turns through a small FIFO each",
            ],
        )


def _ports(ports: tuple[MemoryPort, ...]) -> list[Related]:
    """Where each port that writes is used."""
    places = (port.accesses[0] for port in ports if port.writes and port.accesses)
    return [Related(access.span, f"a write port, at address `{access.address}`") for access in places]


RULE = TooManyPorts()
