"""The rule tiny-on-large-blocks."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.mapping.demand import Placement
from memlint.rules import wording
from memlint.rules.base import Finding, Rule
from memlint.rules.placed import Placed, asked_here, in_blocks, in_other_blocks, move_to, shaped_by
from memlint.rules.view import MemoryView


class TinyOnLargeBlocks(Rule):
    """A memory that a smaller block would hold takes a large one and fills next to nothing of it.

    Why it costs:
        A block is spent whole. A table of a few kilobits in a block of hundreds keeps that block from
        a frame store which nothing smaller can hold, while the tier of smaller blocks still has plenty.
        A warning, because it works; it is only dear.

    Example:
        module gain_table (
            input  logic        clk, we,
            input  logic [8:0]  wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk
            logic [39:0] gains [0:511];
            always_ff @(posedge clk) begin
                if (we) gains[wa] <= d;
                q <= gains[ra];
            end
        endmodule

    Mended:
        module gain_table (
            input  logic        clk, we,
            input  logic [8:0]  wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in block
            logic [39:0] gains [0:511];
            always_ff @(posedge clk) begin
                if (we) gains[wa] <= d;
                q <= gains[ra];
            end
        endmodule

    Settings:
        tiny_fill = 0.1: speak only when less of the block than this is filled. Large blocks hold ten to
            twenty times what small ones do, so a memory below a tenth fits one or two small ones.
    """

    name = "tiny-on-large-blocks"
    family = "shape"
    settings = {"tiny_fill": 0.1}

    def check(self, view: MemoryView) -> Iterable[Finding]:
        if not self.applies(view):
            return
        home, memory = in_blocks(view), view.memory
        assert home is not None and home.placement.fill is not None
        demand, fill = home.demand, home.placement.fill
        yield self.finding(
            f"`{memory.name}` ({wording.shape(demand.depth, demand.width)}) takes "
            f"{wording.plural(home.blocks, 'block')} of `{home.tier.name}` and fills {wording.percent(fill)}",
            memory.span,
            paths=(memory.path,),
            related=[*asked_here(view), *shaped_by(view)],
            numbers={"depth": demand.depth, "width": demand.width, "blocks": home.blocks, "fill": fill},
            help=wording.homes(view),
            fixes=move_to(view, in_other_blocks(view)),
        )

    def applies(self, view: MemoryView) -> bool:
        """Whether this is the memory's waste; the other shape rules then leave it alone."""
        home = in_blocks(view)
        if home is None or home.each > 1 or home.placement.fill is None:
            return False
        if home.placement.fill >= self.setting(view, "tiny_fill"):
            return False
        return any(_smaller(view, home, other) for other in view.elsewhere)


def _smaller(view: MemoryView, home: Placed, other: Placement) -> bool:
    """Whether the other tier is one of hardened blocks, and its blocks are smaller."""
    tier = view.device.tier(other.tier)
    if tier is None or tier.role not in ("block", "bulk"):
        return False
    if tier.block_bits is None or home.tier.block_bits is None:
        return False
    return tier.block_bits < home.tier.block_bits


RULE = TinyOnLargeBlocks()
