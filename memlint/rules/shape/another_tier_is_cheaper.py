"""The rule another-tier-is-cheaper."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.mapping.demand import Placement
from memlint.rules import wording
from memlint.rules.base import Finding, Rule, Severity
from memlint.rules.placed import asked_here, in_blocks, move_to
from memlint.rules.shape.just_over_boundary import RULE as JUST_OVER_BOUNDARY
from memlint.rules.shape.shallow_wide import RULE as SHALLOW_WIDE
from memlint.rules.shape.tiny_on_large_blocks import RULE as TINY_ON_LARGE_BLOCKS
from memlint.rules.view import MemoryView


class AnotherTierIsCheaper(Rule):
    """Another tier holds the same memory in a much smaller share of its blocks.

    Why it costs:
        What a memory costs is the share it takes of what there is. Sixteen small blocks chained into a
        deep buffer may be a larger share of the device than one big block. A note: the cheaper tier may
        be spoken for, and the choice is the plan's to make. Where the shape itself is the waste, the
        rule that names it speaks instead.

    Example:
        module delay_line (
            input  logic        clk, we,
            input  logic [13:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in block
            logic [39:0] line [0:16383];
            always_ff @(posedge clk) begin
                if (we) line[wa] <= d;
                q <= line[ra];
            end
        endmodule

    Mended:
        module delay_line (
            input  logic        clk, we,
            input  logic [13:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk
            logic [39:0] line [0:16383];
            always_ff @(posedge clk) begin
                if (we) line[wa] <= d;
                q <= line[ra];
            end
        endmodule

    Settings:
        cheaper_ratio = 2: speak when the memory's share of its own tier is at least this many times its
            share of the other. Below twice, moving it is rarely worth the change of latency.
        cheaper_share = 0.02: speak only when it takes at least this share of its own tier. A fiftieth
            and less is not what a device runs out of.
    """

    name = "another-tier-is-cheaper"
    family = "shape"
    severity = Severity.NOTE
    settings = {"cheaper_ratio": 2, "cheaper_share": 0.02}

    def check(self, view: MemoryView) -> Iterable[Finding]:
        home, memory = in_blocks(view), view.memory
        if home is None or home.placement.share is None:
            return
        share = home.placement.share
        if share < self.setting(view, "cheaper_share"):
            return
        best = _cheapest(view)
        if best is None or best.share is None or share < best.share * self.setting(view, "cheaper_ratio"):
            return
        if any(rule.applies(view) for rule in (SHALLOW_WIDE, TINY_ON_LARGE_BLOCKS, JUST_OVER_BOUNDARY)):
            return
        demand = home.demand
        yield self.finding(
            f"`{memory.name}` ({wording.shape(demand.depth, demand.width)}) takes "
            f"{wording.plural(home.blocks, 'block')} of `{home.tier.name}`, {wording.percent(share)} of the "
            f"device's; {wording.placed_on(best)}, {wording.percent(best.share)} of the device's",
            memory.span,
            paths=(memory.path,),
            related=asked_here(view),
            numbers={
                "blocks": home.blocks,
                "share": share,
                "tier": home.tier.name,
                "other_tier": best.tier,
                "other_blocks": best.blocks,
                "other_share": best.share,
            },
            help=wording.homes(view),
            fixes=move_to(view, [best.tier]),
        )


def _cheapest(view: MemoryView) -> Placement | None:
    """The other tier of hardened blocks with the smallest share; fabric and registers are no match."""
    for other in view.elsewhere:
        tier = view.device.tier(other.tier)
        if tier is not None and tier.role in ("block", "bulk"):
            return other
    return None


RULE = AnotherTierIsCheaper()
