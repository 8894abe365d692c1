"""The rule intent-missing."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.rules import wording
from memlint.rules.base import Edit, Finding, Fix, Reach, Rule, Severity
from memlint.rules.drafts import comment, draft
from memlint.rules.view import MemoryView


class IntentMissing(Rule):
    """A memory has no intent.

    Why it costs:
        A memory nobody stated anything about is placed by the build, and nothing notices when its
        place changes. This rule is off by default and meant for projects that want every memory
        accounted for. A note, because the memory may be exactly right. The offered comment states what
        the HDL has now; it is not written unasked, as nobody has said yet that it was meant.

    Example:
        module reject_counts (
            input  logic        clk, we,
            input  logic [8:0]  wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            logic [39:0] counts [0:511];
            always_ff @(posedge clk) begin
                if (we) counts[wa] <= d;
                q <= counts[ra];
            end
        endmodule

    Mended:
        module reject_counts (
            input  logic        clk, we,
            input  logic [8:0]  wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in block; shape 512 x 40; ports 1w 1r; one clock
            logic [39:0] counts [0:511];
            always_ff @(posedge clk) begin
                if (we) counts[wa] <= d;
                q <= counts[ra];
            end
        endmodule

    Settings:
        intent_from_bits = 256: memories of fewer bits need no intent. 256 bits is where the other rules
            start to speak of memories without one; below it a memory costs little wherever it goes.
    """

    name = "intent-missing"
    family = "intent"
    severity = Severity.NOTE
    settings = {"intent_from_bits": 256}
    on_by_default = False

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory = view.memory
        if view.has_intent:
            return
        if memory.bits is not None and memory.bits < self.setting(view, "intent_from_bits"):
            return
        yield self.finding(
            f"`{memory.name}`{_size(view)} has no intent",
            memory.span,
            paths=(memory.path,),
            numbers={"depth": memory.depth, "width": memory.width, "bits": memory.bits},
            help=[f"write above it: `{_intent(view)}`"],
            fixes=_fixes(view),
        )


def _size(view: MemoryView) -> str:
    memory = view.memory
    if memory.depth is None or memory.width is None or memory.bits is None:
        return ""
    return f" ({wording.shape(memory.depth, memory.width)}, {wording.bits(memory.bits)})"


def _intent(view: MemoryView) -> str:
    return comment(view.memory.language, draft([view]) or "in …")


def _fixes(view: MemoryView) -> list[Fix]:
    if not draft([view]):
        return []
    written = _intent(view)
    return [Fix(f"write `{written}`", (Edit(view.memory.statement, written, Reach.LINE),), safe=False)]


RULE = IntentMissing()
