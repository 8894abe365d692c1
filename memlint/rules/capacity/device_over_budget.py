"""The rule device-over-budget."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from memlint.device.facts import Tier
from memlint.rules import wording
from memlint.rules.base import Finding, Rule, Severity
from memlint.rules.totals import Total, below, largest, not_counted, total
from memlint.rules.view import DesignView


class DeviceOverBudget(Rule):
    """The design takes more blocks of a tier than the device has, less what is reserved.

    Why it costs:
        Each memory fits on its own, and the sum does not. The build then moves some of them to another
        tier, or stops, and in either case not where one would have chosen. An error when the fewest
        blocks possible are too many; a note when only the count with one shape for each memory is,
        which is what most flows build. The design must have one root: of several, memlint cannot tell
        which one the device holds.

    Example:
        module frame_store (
            input  logic          clk, we,
            input  logic [12:0]   wa, ra,
            input  logic [3999:0] d,
            output logic [3999:0] q
        );
            for (genvar i = 0; i < 100; i++) begin : tile
                // @mem in bulk
                logic [39:0] pixels [0:8191];
                always_ff @(posedge clk) begin
                    if (we) pixels[wa] <= d[40*i +: 40];
                    q[40*i +: 40] <= pixels[ra];
                end
            end
        endmodule

    Mended:
        module frame_store (
            input  logic          clk, we,
            input  logic [12:0]   wa, ra,
            input  logic [1919:0] d,
            output logic [1919:0] q
        );
            for (genvar i = 0; i < 48; i++) begin : tile
                // @mem in bulk
                logic [39:0] pixels [0:8191];
                always_ff @(posedge clk) begin
                    if (we) pixels[wa] <= d[40*i +: 40];
                    q[40*i +: 40] <= pixels[ra];
                end
            end
        endmodule
    """

    name = "device-over-budget"
    family = "capacity"
    severity = Severity.ERROR

    def check_design(self, view: DesignView) -> Iterable[Finding]:
        if len(view.roots) != 1:
            return
        root = view.roots[0]
        memories = [one for one in view.memories if below(one.memory.path, root)]
        for tier in view.device.tiers:
            if tier.blocks is None:
                continue
            sums = total(memories, tier.name)
            supply = tier.blocks - view.reserve.get(tier.name, Fraction(0))
            if sums.blocks > supply:
                yield self._over(view, tier, sums, supply, sums.blocks, root)
            elif sums.uniform_blocks is not None and sums.uniform_blocks > supply:
                yield self._over(view, tier, sums, supply, sums.uniform_blocks, root)

    def _over(
        self, view: DesignView, tier: Tier, sums: Total, supply: Fraction, taken: Fraction, root: str
    ) -> Finding:
        certain = sums.blocks > supply
        reserved = view.reserve.get(tier.name, Fraction(0))
        kept = f" of {tier.blocks}, {wording.amount(reserved)} being reserved" if reserved else ""
        least = "at least " if sums.unknown and certain else ""
        how = "" if certain else " with one shape for each memory"
        missing = not_counted(view, root, sums.unknown)
        more = f"free {wording.plural(taken - supply, 'block')}: move a memory to another tier, largest first"
        return self.finding(
            f"`{root}` takes {least}{wording.plural(taken, 'block')} of `{tier.name}`{how}, "
            f"device `{view.device.name}` has {wording.amount(supply)}{kept}",
            sums.memories[0].memory.span,
            severity=None if certain else Severity.NOTE,
            paths=(root,),
            related=largest(sums.memories),
            numbers={
                "tier": tier.name,
                "blocks": sums.blocks,
                "uniform_blocks": sums.uniform_blocks,
                "available": supply,
                "unknown": sums.unknown,
            },
            help=[more, *([missing] if missing else [])],
        )


RULE = DeviceOverBudget()
