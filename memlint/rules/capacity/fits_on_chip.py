"""The rule fits-on-chip."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.rules import wording
from memlint.rules.base import Finding, Rule, Severity
from memlint.rules.placed import asked_here
from memlint.rules.view import MemoryView


class FitsOnChip(Rule):
    """A memory is planned off chip, and a small share of an on-chip tier would hold it.

    Why it costs:
        A memory chip costs pins, power, board area and dozens of cycles a read, and its controller
        takes block RAM of its own. What fits on the chip in a small share of its blocks is better there. A
        note: the chip may be on the board anyway.

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

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, tier = view.memory, view.tier
        if tier is None or tier.role != "external" or memory.depth is None or memory.width is None:
            return
        most = self.setting(view, "on_chip_share")
        homes = [one for one in view.elsewhere if one.share is not None and one.share <= most]
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
            help=[wording.placed_on(one) for one in homes],
        )


RULE = FitsOnChip()
