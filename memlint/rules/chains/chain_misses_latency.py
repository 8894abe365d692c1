"""The rule chain-misses-latency."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from memlint.reading.intent.clauses import ReadWithin
from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule
from memlint.rules.placed import Placed, asked_here, placed, shaped_by
from memlint.rules.view import MemoryView


class ChainMissesLatency(Rule):
    """A read takes more cycles than the intent allows, chain registers and multiplexer included.

    Why it costs:
        A long chain reaches the clock rate only with a register every few blocks, and a wide
        multiplexer with registers between its stages. Each is a cycle that the logic around the memory
        did not reckon with, and a pipeline that is one cycle short is found in simulation of the built
        netlist at best. A warning: at a lower clock rate the same chain may do without.

    Example:
        module valve_delay (
            input  logic        clk, we,
            input  logic [16:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk; read within 2 cycles
            logic [39:0] line [0:131071];
            always_ff @(posedge clk) begin
                if (we) line[wa] <= d;
                q <= line[ra];
            end
        endmodule

    Mended:
        module valve_delay (
            input  logic        clk, we,
            input  logic [16:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk; read within 4 cycles
            logic [39:0] line [0:131071];
            always_ff @(posedge clk) begin
                if (we) line[wa] <= d;
                q <= line[ra];
            end
        endmodule
    """

    name = "chain-misses-latency"
    family = "chains"

    def check(self, view: MemoryView) -> Iterable[Finding]:
        home, budget, memory = placed(view), view.clause(ReadWithin), view.memory
        if home is None or budget is None:
            return
        needed = home.placement.read_latency
        if needed is None or needed <= budget.cycles:
            return
        parts = wording.listed(_parts(home))
        yield self.finding(
            f"a read of `{memory.name}` takes {wording.plural(needed, 'cycle')} in "
            f"`{home.tier.name}`{f' ({parts})' if parts else ''}, its intent allows {budget.cycles}",
            memory.span,
            paths=(memory.path,),
            related=[Related(budget.span, "the cycles are stated here"), *asked_here(view), *shaped_by(view)],
            numbers={
                "read_latency": needed,
                "allowed": budget.cycles,
                "chain": home.placement.chain,
                "ways": home.placement.ways,
            },
            help=[
                f"give the logic around it that long and say `read within {needed} cycles`",
                *_faster(view, budget.cycles),
            ],
        )


def _parts(home: Placed) -> Iterator[str]:
    """What the cycles are spent on, as far as it is known."""
    placement, tier = home.placement, home.tier
    if tier.read_latency is not None:
        yield f"{tier.read_latency} for the block"
    if tier.chain is not None and tier.chain.register_every and placement.chain and placement.split:
        piece = -(-placement.chain // placement.split)
        registers = -(-piece // tier.chain.register_every) - 1
        if registers > 0:
            yield f"{registers} for a chain of {wording.plural(piece, 'block')}"
    if placement.ways is not None and placement.ways > 1:
        yield f"the rest for a {placement.ways}:1 multiplexer"


def _faster(view: MemoryView, cycles: int) -> list[str]:
    return [
        f"{wording.placed_on(other)}, read in {wording.plural(other.read_latency, 'cycle')}"
        for other in view.elsewhere
        if other.read_latency is not None and other.read_latency <= cycles and other.tier != "registers"
    ]


RULE = ChainMissesLatency()
