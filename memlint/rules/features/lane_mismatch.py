"""The rule lane-mismatch."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from memlint.device.facts import Tier
from memlint.reading.intent.clauses import WriteLanes
from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule
from memlint.rules.placed import asked_here, in_blocks
from memlint.rules.view import MemoryView


class LaneMismatch(Rule):
    """The write lanes of a memory do not match the write enables of its blocks, and cost blocks.

    Why it costs:
        One write enable covers a fixed number of bits. Lanes of another width leave part of each word
        unused, and where the mode has no write enables at all every lane needs blocks of its own. A
        warning: it works, in more blocks than the bits need.

    Example:
        module classifier_weights (
            input  logic        clk,
            input  logic [3:0]  we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk
            logic [39:0] weights [0:8191];
            always_ff @(posedge clk) begin
                for (int i = 0; i < 4; i++)
                    if (we[i]) weights[wa][10*i +: 10] <= d[10*i +: 10];
                q <= weights[ra];
            end
        endmodule

    Mended:
        module classifier_weights (
            input  logic        clk,
            input  logic        we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk
            logic [39:0] weights [0:8191];
            always_ff @(posedge clk) begin
                if (we) weights[wa] <= d;
                q <= weights[ra];
            end
        endmodule
    """

    name = "lane-mismatch"
    family = "features"

    def check(self, view: MemoryView) -> Iterable[Finding]:
        home, memory, clause = in_blocks(view), view.memory, view.clause(WriteLanes)
        if home is None or not home.demand.lanes:
            return
        whole = view.reckon(replace(home.demand, lanes=()), home.tier)
        if not whole.fits or whole.blocks is None or whole.blocks >= home.blocks:
            return
        extra = home.blocks - whole.blocks
        lanes = _lanes(home.demand.lanes)
        yield self.finding(
            f"the write lanes of `{memory.name}` ({lanes}) cost {wording.plural(extra, 'block')} of "
            f"`{home.tier.name}`: {wording.amount(home.blocks)} instead of {wording.amount(whole.blocks)}",
            memory.span,
            paths=(memory.path,),
            related=[
                *([Related(clause.span, "the lanes are stated here")] if clause else []),
                *asked_here(view),
            ],
            numbers={"blocks": home.blocks, "without_lanes": whole.blocks, "extra": extra},
            help=[
                *_enables(home.tier),
                "or write whole words: read the old word first and merge",
                *wording.homes(view),
            ],
        )


def _lanes(lanes: tuple[int, ...]) -> str:
    if len(set(lanes)) == 1:
        return f"{wording.plural(len(lanes), 'lane')} of {wording.plural(lanes[0], 'bit')}"
    return f"{' + '.join(str(lane) for lane in lanes)} bits"


def _enables(tier: Tier) -> list[str]:
    """What write enables each mode of the tier has that writes."""
    lines = []
    for mode in (one for one in tier.modes if one.name != "rom"):
        each = wording.listed(f"each {granule} of {width} bits" for width, granule in mode.enables)
        has = f"an enable for {each}" if each else "no write enables"
        lines.append(f"`{tier.name}` in mode {mode.name}: {has}")
    return lines


RULE = LaneMismatch()
