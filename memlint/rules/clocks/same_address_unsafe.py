"""The rule same-address-unsafe."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.device.facts import Tier
from memlint.mapping.demand import Demand
from memlint.mapping.obstacles import candidate_modes
from memlint.reading.intent.clauses import SameAddress
from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule
from memlint.rules.placed import asked_here, placed
from memlint.rules.view import MemoryView

GIVES = {"before": "the word from before the write", "after": "the word being written"}


class SameAddressUnsafe(Rule):
    """A read of the address being written must give a word that the tier does not promise.

    Why it costs:
        In simulation a read beside a write of the same address gives one definite word. A block may
        give the other one, or something undefined, and the difference shows only in hardware and only
        when the addresses meet. The rule speaks when the style of the code (or a `same address`
        clause) and the tier's behaviour are both known, on one clock, and nothing in the code compares
        the addresses: an equality of each read address with each other write address, through plain
        wires, ports and registers that delay them, in the unit or where it is instantiated. Such code
        has a bypass, or keeps the two apart, and `memlint explain` shows the comparison. A warning,
        because many designs never meet the case: `same address never` or `same address any` says so.

    Example:
        module reject_counts (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk; same address after
            logic [39:0] counts [0:8191];
            always_ff @(posedge clk) begin
                if (we) counts[wa] <= d;
                q <= counts[ra];
            end
        endmodule

    Mended:
        module reject_counts (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk; same address before
            logic [39:0] counts [0:8191];
            always_ff @(posedge clk) begin
                if (we) counts[wa] <= d;
                q <= counts[ra];
            end
        endmodule
    """

    name = "same-address-unsafe"
    family = "clocks"

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, home = view.memory, placed(view)
        if home is None or not memory.clocks_known or len(memory.clocks) != 1:
            return
        if memory.compared is not None:
            return
        clause, style = view.clause(SameAddress), memory.same_address
        wanted = clause.gives if clause is not None else style
        if wanted not in GIVES or style not in GIVES:
            return
        promised = _promised(home.tier, home.demand)
        if promised is None or wanted in promised:
            return
        asks = "its intent asks for" if clause is not None else "the code gives"
        gives = wording.listed((GIVES[one] for one in promised), "or") or "an undefined word"
        yield self.finding(
            f"when `{memory.name}` is read at the address being written, {asks} "
            f"{GIVES[wanted]}, but `{home.tier.name}` gives {gives}",
            memory.span,
            paths=(memory.path,),
            related=[
                *([Related(clause.span, "what it must give is stated here")] if clause else []),
                *asked_here(view),
            ],
            numbers={"wanted": wanted, "tier": home.tier.name},
            help=[
                "compare the two addresses and pass the written word around the memory",
                "say `same address never` if the addresses never meet, `any` if either word will do",
                *_other_homes(view, home.demand, wanted),
            ],
        )


def _promised(tier: Tier, demand: Demand) -> list[str] | None:
    """What the tier's modes that provide the ports promise; None when one of them does not say.

    Any of these modes may be built: memlint counts in the one with the fewest blocks, a build takes one
    that does what the code says.
    """
    modes = [mode for mode, _ in candidate_modes(tier, demand)]
    if not modes or not all(mode.same_address for mode in modes):
        return None
    return [gives for gives in GIVES if any(gives in mode.same_address for mode in modes)]


def _other_homes(view: MemoryView, demand: Demand, wanted: str) -> list[str]:
    """Tiers that promise the wanted word."""
    homes = []
    for placement in view.elsewhere:
        tier = view.device.tier(placement.tier)
        promised = _promised(tier, demand) if tier is not None else None
        if promised is not None and wanted in promised:
            homes.append(wording.placed_on(placement))
    return homes


RULE = SameAddressUnsafe()
