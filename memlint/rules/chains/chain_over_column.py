"""The rule chain-over-column."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.device.facts import Tier
from memlint.mapping.demand import Placement
from memlint.rules import wording
from memlint.rules.base import Finding, Rule
from memlint.rules.placed import asked_here, in_blocks, shaped_by
from memlint.rules.view import MemoryView


class ChainOverColumn(Rule):
    """A memory's chain is longer than the tier can run without a break.

    Why it costs:
        Blocks one above the other pass address and data along wires of their own, as far as the chain
        and the column reach. Past that the memory is cut into several chains, joined by a multiplexer
        in fabric that nobody wrote and nobody gave a register to. A warning: it can be built, but as
        something else than the HDL shows.

    Example:
        module valve_delay (
            input  logic        clk, we,
            input  logic [17:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk
            logic [39:0] line [0:262143];
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
            // @mem in bulk
            logic [39:0] line [0:131071];
            always_ff @(posedge clk) begin
                if (we) line[wa] <= d;
                q <= line[ra];
            end
        endmodule
    """

    name = "chain-over-column"
    family = "chains"

    def check(self, view: MemoryView) -> Iterable[Finding]:
        home, memory = in_blocks(view), view.memory
        if home is None:
            return
        chain, split = home.placement.chain, home.placement.split
        if chain is None or split is None or split <= 1:
            return
        demand, tier = home.demand, home.tier
        longest, tallest = reach(tier)
        limits = [
            *([f"the longest chain is {longest}"] if longest is not None else []),
            *([f"the tallest column has {tallest}"] if tallest is not None else []),
        ]
        ways = home.placement.ways
        joined = f", joined by a {ways}:1 multiplexer in fabric" if ways is not None and ways > 1 else ""
        yield self.finding(
            f"`{memory.name}` ({wording.shape(demand.depth, demand.width)}) needs a chain of "
            f"{wording.plural(chain, 'block')} of `{tier.name}`, but {wording.listed(limits)}: "
            f"each chain is cut in {split}{joined}",
            memory.span,
            paths=(memory.path,),
            related=[*asked_here(view), *shaped_by(view)],
            numbers={"chain": chain, "longest": longest, "tallest": tallest, "split": split, "ways": ways},
            help=[
                *_unbroken(home.placement, tier),
                f"or write it as {split} banks and give the multiplexer between them a register of your own",
                *wording.homes(view),
            ],
        )


def reach(tier: Tier) -> tuple[int | None, int | None]:
    """Blocks of the longest chain and of the tallest column, None where the profile does not say."""
    longest = tier.chain.longest if tier.chain else None
    return longest, max((column.blocks for column in tier.columns), default=None)


def _unbroken(placement: Placement, tier: Tier) -> list[str]:
    """How deep a memory of this width may be and still be one chain."""
    longest = max(placement.cuts, key=lambda cut: cut.blocks, default=None)
    limit = min((one for one in reach(tier) if one is not None), default=None)
    if longest is None or limit is None:
        return []
    words = limit * longest.shape[0]
    return [
        f"up to {wording.amount(words)} words deep it stays in one chain "
        f"({wording.plural(limit, 'block')} of {wording.amount(longest.shape[0])} words)"
    ]


RULE = ChainOverColumn()
