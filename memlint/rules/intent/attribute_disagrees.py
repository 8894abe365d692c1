"""The rule attribute-disagrees."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.device.facts import Tier
from memlint.reading.intent.clauses import In
from memlint.rules.base import Finding, Related, Rule
from memlint.rules.view import MemoryView

ROLES = {"block": ("block", "bulk"), "rom": ("block", "bulk"), "logic": ("fabric", "registers")}
"""Tier roles that each standard attribute allows: `ram_block` and `rom_block` ask for hardened blocks,
`logic_block` for discrete logic (IEEE Std 1364.1 and IEEE Std 1076.6, synthesis attributes)."""


class AttributeDisagrees(Rule):
    """A synthesis attribute asks for another kind of storage than the intent.

    Why it costs:
        The attribute is what the build obeys, the intent is what the reviewer reads. When they differ,
        the memory is built in a place that nobody planned for, and every count memlint shows for it is
        of the other place. A warning, because one of the two is out of date and the tool cannot know
        which.

    Example:
        module delay_line (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk
            (* logic_block *) logic [39:0] line [0:8191];
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
            (* ram_block *) logic [39:0] line [0:8191];
            always_ff @(posedge clk) begin
                if (we) line[wa] <= d;
                q <= line[ra];
            end
        endmodule
    """

    name = "attribute-disagrees"
    family = "intent"

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, tier, wanted = view.memory, view.tier, view.clause(In)
        if tier is None or wanted is None or view.tier_from != "intent" or memory.attribute is None:
            return
        if _agrees(memory.attribute, tier):
            return
        asked = _asked(memory.attribute)
        yield self.finding(
            f"the attribute of `{memory.name}` asks for {asked}, its intent for `{tier.name}`",
            memory.attribute_span or memory.span,
            paths=(memory.path,),
            related=[Related(wanted.span, "the intent asks for a tier here")],
            help=[
                f"change the attribute to one that asks for `{tier.name}`, or take it out",
                f"else state a tier in the intent that is {asked}",
            ],
        )


def _agrees(attribute: str, tier: Tier) -> bool:
    roles = ROLES.get(attribute)
    return tier.role in roles if roles else tier.name == attribute


def _asked(attribute: str) -> str:
    match attribute:
        case "block":
            return "a RAM block"
        case "rom":
            return "a ROM block"
        case "logic":
            return "discrete logic"
        case tier:
            return f"tier `{tier}`"


RULE = AttributeDisagrees()
