"""The rule holds-too-little."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.reading.intent.clauses import Holds
from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule
from memlint.rules.placed import shaped_by
from memlint.rules.view import MemoryView


class HoldsTooLittle(Rule):
    """A memory has fewer bits than its intent says it must hold.

    Why it costs:
        How many camera lines or how many milliseconds a buffer must bridge is decided once, on paper;
        its depth is a parameter that anybody can change. Too small a buffer works on the bench and
        loses grains at full belt speed. A warning, because the array is a working memory: it is the
        promise that does not hold.

    Example:
        module line_store (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk; holds 3 lines x 3840 x 30 bit
            logic [39:0] lines [0:8191];
            always_ff @(posedge clk) begin
                if (we) lines[wa] <= d;
                q <= lines[ra];
            end
        endmodule

    Mended:
        module line_store (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk; holds 2 lines x 3840 x 30 bit
            logic [39:0] lines [0:8191];
            always_ff @(posedge clk) begin
                if (we) lines[wa] <= d;
                q <= lines[ra];
            end
        endmodule
    """

    name = "holds-too-little"
    family = "capacity"

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, clause = view.memory, view.clause(Holds)
        if clause is None or memory.bits is None or memory.depth is None or memory.width is None:
            return
        if memory.bits >= clause.bits:
            return
        banks = f" x {memory.banks} banks" if memory.banks > 1 else ""
        deep = -(-clause.bits // (memory.width * memory.banks))
        missing = clause.bits - memory.bits
        yield self.finding(
            f"`{memory.name}` ({wording.shape(memory.depth, memory.width)}{banks}) has "
            f"{wording.bits(memory.bits)}, but must hold {wording.bits(clause.bits)}: "
            f"{wording.bits(missing)} too few",
            memory.span,
            paths=(memory.path,),
            related=[Related(clause.span, f"it must hold {clause.text}"), *shaped_by(view)],
            numbers={"bits": memory.bits, "needed": clause.bits, "missing": missing},
            help=[
                f"make it {wording.amount(deep)} words deep at this width",
                "or state in `holds` what it needs to hold now",
            ],
        )


RULE = HoldsTooLittle()
