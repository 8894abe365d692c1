"""The rule large-on-fabric."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from memlint.mapping.demand import Demand, Placement
from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule, Severity
from memlint.rules.placed import asked_here, placed, shaped_by
from memlint.rules.read_words import REMEDIES, asynchronous_reads, places_of_reads, without_a_clock
from memlint.rules.view import MemoryView

_KEPT_THROUGH_RESET = (
    "clear it word by word after the reset, or keep a bit a word in registers that says which are valid"
)


class LargeOnFabric(Rule):
    """A large memory is made of lookup tables or flip-flops.

    Why it costs:
        Logic that stores cannot compute, and every word more makes the read multiplexer deeper, so a
        large array in fabric is dear in area, in routing and in clock rate. A warning where someone
        chose the tier. A note where nobody did and no tier of blocks takes the memory as it is
        written: then the finding says what keeps it out of each, and which read has no clock, and why.

    Example:
        module gain_table (
            input  logic        clk, we,
            input  logic [10:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in fabric
            logic [39:0] gains [0:2047];
            always_ff @(posedge clk) begin
                if (we) gains[wa] <= d;
                q <= gains[ra];
            end
        endmodule

    Mended:
        module gain_table (
            input  logic        clk, we,
            input  logic [10:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in block
            logic [39:0] gains [0:2047];
            always_ff @(posedge clk) begin
                if (we) gains[wa] <= d;
                q <= gains[ra];
            end
        endmodule

    Settings:
        large_fabric_bits = 8192: speak from this many bits up. At 32 bits a lookup table it is 256 of
            them before the read multiplexer, and close to half of a 20-kilobit block would do instead.
        large_fabric_depth = 64: speak only of memories deeper than this. A wide memory of few words has
            a small multiplexer, and blocks would be left nearly empty by it.
    """

    name = "large-on-fabric"
    family = "shape"
    settings = {"large_fabric_bits": 8192, "large_fabric_depth": 64}

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, tier, demand = view.memory, view.tier, view.demand
        if tier is None or demand is None or tier.role not in ("fabric", "registers"):
            return
        if not self._large(view):
            return
        hardened = _on_blocks(view)
        homes = [wording.placed_on(one) for one in view.elsewhere if one in hardened]
        if view.tier_from == "assumed":
            if any(one.fits for one in hardened):
                return
            severity, kept_out = Severity.NOTE, hardened
        else:
            if not homes or not _built(view):
                return
            severity, kept_out = Severity.WARNING, []
        by_read = [one for one in kept_out if any(why.kind == "read" for why in one.obstacles)]
        reads = asynchronous_reads(memory) if by_read else []
        by_reset = any(why.kind == "reset" for one in kept_out for why in one.obstacles)
        yield self.finding(
            f"`{memory.name}` ({wording.shape(demand.depth, demand.width)}, "
            f"{wording.bits(memory.bits or 0)}) is {_made_of(view)}"
            + (f", as it is read without a clock{without_a_clock(reads)}" if reads else ""),
            memory.span,
            severity=severity,
            paths=(memory.path,),
            related=[
                *places_of_reads(reads, first=True),
                *([Related(memory.reset, "a reset clears it here")] if by_reset and memory.reset else []),
                *asked_here(view),
                *shaped_by(view),
            ],
            numbers={"depth": demand.depth, "width": demand.width, "bits": memory.bits, "tier": tier.name},
            help=[
                *homes,
                *(REMEDIES if reads else ()),
                *([_KEPT_THROUGH_RESET] if by_reset else []),
                *_once_clocked(view, demand, by_read if reads else []),
                *_reasons(kept_out, "read" if reads else ""),
            ],
        )

    def _large(self, view: MemoryView) -> bool:
        bits, depth = view.memory.bits, view.memory.depth
        if bits is None or depth is None:
            return False
        deep = depth > self.setting(view, "large_fabric_depth")
        return deep and bits >= self.setting(view, "large_fabric_bits")


def _built(view: MemoryView) -> bool:
    """Whether the chosen tier takes the memory; if not, that is a finding of its own."""
    return placed(view) is not None


def _on_blocks(view: MemoryView) -> list[Placement]:
    """The memory on every tier of hardened blocks, taken or not."""
    return [view.place(tier) for tier in view.device.on_chip() if tier.role in ("block", "bulk")]


def _once_clocked(view: MemoryView, demand: Demand, placements: list[Placement]) -> list[str]:
    """What the memory takes on these tiers once its reads have a clock, where nothing else keeps it out."""
    clocked = replace(demand, asynchronous=False)
    tiers = [tier for one in placements if (tier := view.device.tier(one.tier)) is not None]
    there = [view.reckon(clocked, tier) for tier in tiers]
    return [f"with a clock, {wording.placed_on(one)}" for one in there if one.fits and one.blocks is not None]


def _reasons(placements: list[Placement], told: str) -> list[str]:
    """What keeps the memory out of each tier; `told` is a kind of obstacle that was told already."""
    found = []
    for one in placements:
        reasons = [reason.text for reason in one.obstacles if reason.kind != told]
        if reasons:
            found.append(f"`{one.tier}` does not take it: {'; also '.join(reasons)}")
    return found


def _made_of(view: MemoryView) -> str:
    placement = view.placement
    count = placement.blocks if placement is not None else None
    if view.tier is not None and view.tier.role == "registers":
        return f"{wording.amount(view.memory.bits or 0)} flip-flops"
    return "in fabric" if count is None else f"in fabric, {wording.plural(count, 'block')} of it"


RULE = LargeOnFabric()
