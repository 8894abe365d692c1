"""The rule fits-on-chip."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from memlint.rules import wording
from memlint.rules.base import Finding, Rule, Severity
from memlint.rules.placed import asked_here
from memlint.rules.totals import below, supply, total
from memlint.rules.view import DesignView, MemoryView


class FitsOnChip(Rule):
    """A memory is planned off chip, and a small share of an on-chip tier would hold it.

    Why it costs:
        A memory chip costs pins, power, board area and dozens of cycles a read, and its controller
        takes block RAM of its own. What fits on the chip in a small share of its blocks is better there, as
        long as the rest of the design leaves that share free. A note: the chip may be on the board anyway.

    Example:
        module background_store (
            input  logic        clk, we,
            input  logic [14:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in external
            logic [39:0] background [0:32767];
            always_ff @(posedge clk) begin
                if (we) background[wa] <= d;
                q <= background[ra];
            end
        endmodule

    Mended:
        module background_store (
            input  logic        clk, we,
            input  logic [14:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk
            logic [39:0] background [0:32767];
            always_ff @(posedge clk) begin
                if (we) background[wa] <= d;
                q <= background[ra];
            end
        endmodule

    Settings:
        on_chip_share = 0.1: speak when an on-chip tier of blocks holds it in at most this share of what
            the device has. A tenth leaves the tier to the memories that belong there.
    """

    name = "fits-on-chip"
    family = "capacity"
    severity = Severity.NOTE
    settings = {"on_chip_share": 0.1}

    def check_design(self, view: DesignView) -> Iterable[Finding]:
        for one in view.memories:
            yield from self._memory(view, one)

    def _memory(self, design: DesignView, view: MemoryView) -> Iterable[Finding]:
        memory, tier = view.memory, view.tier
        if tier is None or tier.role != "external" or memory.depth is None or memory.width is None:
            return
        most, free = self.setting(view, "on_chip_share"), _free(design, view)
        homes = [
            one
            for one in view.elsewhere
            if one.share is not None
            and one.share <= most
            and one.blocks is not None
            and one.blocks <= free.get(one.tier, Fraction(0))
        ]
        if not homes:
            return
        best = homes[0]
        assert best.share is not None
        yield self.finding(
            f"`{memory.name}` ({wording.shape(memory.depth, memory.width)}, "
            f"{wording.bits(memory.bits or 0)}) is planned in `{tier.name}` and fits on chip: "
            f"{wording.placed_on(best)}, {wording.percent(best.share)} of the device's",
            memory.span,
            paths=(memory.path,),
            related=asked_here(view),
            numbers={"bits": memory.bits, "tier": best.tier, "blocks": best.blocks, "share": best.share},
            help=[
                f"{wording.placed_on(one)}; {wording.plural(free[one.tier], 'block')} of it are free"
                for one in homes
            ],
        )


def _free(view: DesignView, memory: MemoryView) -> dict[str, Fraction]:
    """Blocks of each tier that the memory's root has left, what is reserved taken off."""
    root = next((one for one in view.roots if below(memory.memory.path, one)), "")
    mine = [one for one in view.memories if below(one.memory.path, root)] if root else [memory]
    return {
        tier.name: there - total(mine, tier.name).blocks
        for tier in view.device.on_chip()
        if (there := supply(view, tier)) is not None
    }


RULE = FitsOnChip()
