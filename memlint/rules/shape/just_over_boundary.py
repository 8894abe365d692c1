"""The rule just-over-boundary."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from memlint.rules import wording
from memlint.rules.base import Finding, Rule
from memlint.rules.placed import asked_here, in_blocks, shaped_by
from memlint.rules.shape.shallow_wide import RULE as SHALLOW_WIDE
from memlint.rules.shape.tiny_on_large_blocks import RULE as TINY_ON_LARGE_BLOCKS
from memlint.rules.view import MemoryView


@dataclass(frozen=True, slots=True)
class NearMiss:
    """So many words or bits fewer, and the blocks it then takes."""

    fewer: int
    noun: str
    blocks: Fraction

    def __str__(self) -> str:
        return f"{wording.amount(self.blocks)} with {wording.plural(self.fewer, self.noun)} less"


class JustOverBoundary(Rule):
    """A memory is a few words or bits over a shape of its blocks, and takes many blocks more for them.

    Why it costs:
        Blocks come in steps. One word past a power of two, or the parity bit that made 40 bits 41, can
        double what a memory takes, and nothing in the HDL looks unusual. A warning: often the last
        word or bit was never needed, or fits beside something else.

    Example:
        module delay_line (
            input  logic        clk, we,
            input  logic [13:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk
            logic [39:0] line [0:8192];
            always_ff @(posedge clk) begin
                if (we) line[wa] <= d;
                q <= line[ra];
            end
        endmodule

    Mended:
        module delay_line (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk
            logic [39:0] line [0:8191];
            always_ff @(posedge clk) begin
                if (we) line[wa] <= d;
                q <= line[ra];
            end
        endmodule

    Settings:
        boundary_over = 0.03: at most this part of the depth or the width is over, but always one word
            or one bit. Three in a hundred is a rounding or a spare word; more is a size of its own.
        boundary_saves = 0.25: without it, at least this part of the blocks is saved. A quarter is what
            one block in four is worth, about the least that is worth changing a size for.
        boundary_blocks = 1: and at least so many blocks. Half a block can rarely be used for another
            memory.
    """

    name = "just-over-boundary"
    family = "shape"
    settings = {"boundary_over": 0.03, "boundary_saves": 0.25, "boundary_blocks": 1}

    def check(self, view: MemoryView) -> Iterable[Finding]:
        home, memory = in_blocks(view), view.memory
        misses = self.near_misses(view)
        if home is None or not misses:
            return
        best = misses[0]
        yield self.finding(
            f"`{memory.name}` ({wording.shape(home.demand.depth, home.demand.width)}) takes "
            f"{wording.plural(home.blocks, 'block')} of `{home.tier.name}`, but "
            f"{wording.listed(str(miss) for miss in misses)}",
            memory.span,
            paths=(memory.path,),
            related=[*asked_here(view), *shaped_by(view)],
            numbers={
                "depth": home.demand.depth,
                "width": home.demand.width,
                "blocks": home.blocks,
                "fewer": best.fewer,
                "of": best.noun,
                "fewer_blocks": best.blocks,
            },
            help=[
                *(
                    f"do without {wording.plural(miss.fewer, miss.noun)}, or keep the rest in registers: "
                    f"{wording.plural(miss.blocks, 'block')}"
                    for miss in misses
                ),
                *wording.homes(view),
            ],
        )

    def applies(self, view: MemoryView) -> bool:
        """Whether this is the memory's waste; rules on the tier then leave it alone."""
        return bool(self.near_misses(view))

    def near_misses(self, view: MemoryView) -> list[NearMiss]:
        """The least change of depth, and of width, that saves enough."""
        home = in_blocks(view)
        if home is None or SHALLOW_WIDE.applies(view) or TINY_ON_LARGE_BLOCKS.applies(view):
            return []
        demand, tier = home.demand, home.tier
        enough = min(
            home.blocks - self.setting(view, "boundary_blocks"),
            home.blocks * (1 - self.setting(view, "boundary_saves")),
        )

        over = self.setting(view, "boundary_over")

        def less_deep(words: int) -> Fraction | None:
            return view.reckon(replace(demand, depth=demand.depth - words), tier).blocks

        def less_wide(fewer: int) -> Fraction | None:
            return view.reckon(replace(demand, width=demand.width - fewer), tier).blocks

        found = [_least(less_deep, demand.depth, over, enough, "word")]
        if not demand.lanes and demand.write_width is None and demand.read_width is None:
            found.append(_least(less_wide, demand.width, over, enough, "bit"))
        return [miss for miss in found if miss is not None]


def _least(
    blocks: Callable[[int], Fraction | None], size: int, over: Fraction, enough: Fraction, noun: str
) -> NearMiss | None:
    """The smallest step down that takes `enough` blocks or fewer, within the share `over` of the size.

    Fewer words or bits never take more blocks, so the step can be found by halving.
    """
    high = max(1, int(size * over))
    if enough <= 0 or high >= size:
        return None
    taken = blocks(high)
    if taken is None or taken > enough:
        return None
    low = 1
    while low < high:
        middle = (low + high) // 2
        at_middle = blocks(middle)
        if at_middle is not None and at_middle <= enough:
            high, taken = middle, at_middle
        else:
            low = middle + 1
    return NearMiss(high, noun, taken)


RULE = JustOverBoundary()
