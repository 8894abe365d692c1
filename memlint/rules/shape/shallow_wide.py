"""The rule shallow-wide."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.rules import wording
from memlint.rules.base import Finding, Rule
from memlint.rules.placed import (
    Placed,
    asked_here,
    in_blocks,
    in_other_blocks,
    move_to,
    shallowest,
    shaped_by,
)
from memlint.rules.view import MemoryView


class ShallowWide(Rule):
    """A shallow, wide memory spreads over several blocks side by side and uses little of each one's depth.

    Why it costs:
        A block gives up width for depth only so far: below its shallowest shape, words that are not
        needed are simply lost, once for every block the word is spread over. A 64-word line sum on
        blocks of 8,192 words leaves more than 99 of 100 bits unused, and the big blocks are the ones
        there are few of. A warning, because it works; it is only dear. Where one block holds the whole
        word the waste is of another kind, see tiny-on-large-blocks.

    Example:
        module line_sums (
            input  logic         clk, we,
            input  logic [6:0]   wa, ra,
            input  logic [479:0] d,
            output logic [479:0] q
        );
            // @mem in bulk
            logic [479:0] sums [0:127];
            always_ff @(posedge clk) begin
                if (we) sums[wa] <= d;
                q <= sums[ra];
            end
        endmodule

    Mended:
        module line_sums (
            input  logic         clk, we,
            input  logic [12:0]  wa, ra,
            input  logic [39:0]  d,
            output logic [39:0]  q
        );
            // @mem in bulk
            logic [39:0] sums [0:8191];
            always_ff @(posedge clk) begin
                if (we) sums[wa] <= d;
                q <= sums[ra];
            end
        endmodule

    Settings:
        shallow_fill = 0.25: speak only when less of the blocks than this is filled. Below a quarter,
            another shape or tier could take a quarter of the bits; between a quarter and a half the
            next smaller blocks are often no better.
        shallow_depth = 0.5: speak only when the depth is at most this part of the shallowest shape.
            From half down, every block loses half its bits or more to depth alone, whatever the width.
    """

    name = "shallow-wide"
    family = "shape"
    settings = {"shallow_fill": 0.25, "shallow_depth": 0.5}

    def check(self, view: MemoryView) -> Iterable[Finding]:
        if not self.applies(view):
            return
        home, memory = in_blocks(view), view.memory
        assert home is not None and home.placement.fill is not None
        least = shallowest(home.mode)
        assert least is not None
        demand, fill = home.demand, home.placement.fill
        yield self.finding(
            f"`{memory.name}` ({wording.shape(demand.depth, demand.width)}) takes "
            f"{wording.plural(home.blocks, 'block')} of `{home.tier.name}` and fills {wording.percent(fill)} "
            f"of them: it is {wording.plural(demand.depth, 'word')} deep, "
            f"a block at least {wording.amount(least)}",
            memory.span,
            paths=(memory.path,),
            related=[*asked_here(view), *shaped_by(view)],
            numbers={
                "depth": demand.depth,
                "width": demand.width,
                "blocks": home.blocks,
                "fill": fill,
                "shallowest": least,
            },
            help=[*wording.homes(view), *_in_turns(home, least)],
            fixes=move_to(view, in_other_blocks(view)),
        )

    def applies(self, view: MemoryView) -> bool:
        """Whether this is the memory's waste; the other shape rules then leave it alone."""
        home = in_blocks(view)
        if home is None or home.each <= 1 or home.placement.fill is None:
            return False
        least = shallowest(home.mode)
        if least is None or home.demand.depth > least * self.setting(view, "shallow_depth"):
            return False
        return home.placement.fill < self.setting(view, "shallow_fill")


def _in_turns(home: Placed, least: int) -> list[str]:
    """The same bits deeper and narrower, in one block: exact, as it is a shape of the block."""
    demand = home.demand
    plain = demand.banks == 1 and demand.ecc == "none" and not demand.lanes
    if not plain or home.mode is None:
        return []
    for one in home.mode.shapes:
        turns = -(-demand.width // one.width)
        if one.depth == least and 1 < turns <= 16 and turns * demand.depth <= one.depth:
            return [
                f"as {wording.shape(turns * demand.depth, one.width)}, a word in {turns} cycles: "
                f"{wording.plural(one.cost * (home.placement.copies or 1), 'block')} of `{home.tier.name}`"
            ]
    return []


RULE = ShallowWide()
