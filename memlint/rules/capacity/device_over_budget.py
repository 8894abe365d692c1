"""The rule device-over-budget."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from memlint.device.facts import Tier
from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule, Severity
from memlint.rules.totals import (
    MOST_PLACES,
    Total,
    below,
    external_bits,
    largest,
    not_counted,
    planned_part,
    supply,
    total,
)
from memlint.rules.view import DesignView, MemoryView


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
            if tier.role == "external":
                yield from self._outside(view, tier, memories, root)
                continue
            there = supply(view, tier)
            if there is None:
                continue
            sums = total(memories, tier.name)
            if sums.blocks > there:
                yield self._over(view, tier, sums, there, sums.blocks, root)
            elif sums.uniform_blocks is not None and sums.uniform_blocks > there:
                yield self._over(view, tier, sums, there, sums.uniform_blocks, root)

    def _outside(
        self, view: DesignView, tier: Tier, memories: Sequence[MemoryView], root: str
    ) -> Iterable[Finding]:
        capacity = tier.external.capacity_bits if tier.external else None
        there = [one for one in memories if one.tier is not None and one.tier.name == tier.name]
        counted = [(bits, one) for one in there if (bits := external_bits(one)) is not None]
        bits = sum(one for one, _ in counted)
        if capacity is None or bits <= capacity:
            return
        counted.sort(key=lambda one: (-one[0], one[1].memory.path))
        unknown = len(there) - len(counted)
        missing = not_counted(view, root, unknown)
        least = "at least " if unknown else ""
        yield self.finding(
            f"`{root}` keeps {least}{wording.bits(bits)} in `{tier.name}`, which holds "
            f"{wording.bits(capacity)}",
            counted[0][1].memory.span,
            paths=(root,),
            related=[
                Related(one.memory.span, f"`{one.memory.name}` takes {wording.bits(size)}")
                for size, one in counted[:MOST_PLACES]
            ],
            numbers={"tier": tier.name, "bits": bits, "capacity": capacity, "unknown": unknown},
            help=[
                f"free {wording.bits(bits - capacity)}: make the largest shallower, or bring one on chip",
                *([missing] if missing else []),
            ],
        )

    def _over(
        self, view: DesignView, tier: Tier, sums: Total, there: Fraction, taken: Fraction, root: str
    ) -> Finding:
        certain = sums.blocks > there
        reserved = view.reserve.get(tier.name, Fraction(0))
        kept = f" of {tier.blocks}, {wording.amount(reserved)} being reserved" if reserved else ""
        least = sums.least if certain else ""
        how = "" if certain else " with one shape for each memory"
        missing, planned = not_counted(view, root, sums.unknown, sums.homeless), planned_part(sums)
        more = f"free {wording.plural(taken - there, 'block')}: move a memory to another tier, largest first"
        return self.finding(
            f"`{root}` takes {least}{wording.plural(taken, 'block')} of `{tier.name}`{how}, "
            f"device `{view.device.name}` has {wording.amount(there)}{kept}",
            sums.memories[0].memory.span,
            severity=None if certain else Severity.NOTE,
            paths=(root,),
            related=largest(sums.memories),
            numbers={
                "tier": tier.name,
                "blocks": sums.blocks,
                "uniform_blocks": sums.uniform_blocks,
                "available": there,
                "unknown": sums.unknown,
                "without_tier": len(sums.homeless),
            },
            help=[one for one in (more, planned, missing) if one],
        )


RULE = DeviceOverBudget()
