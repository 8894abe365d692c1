"""The rule no-initial-contents."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.reading.intent.clauses import InitialContents
from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule, Severity
from memlint.rules.placed import asked_here, chosen
from memlint.rules.view import MemoryView


class NoInitialContents(Rule):
    """A memory must hold given data at power-up, in a tier that cannot.

    Why it costs:
        Some blocks come up with whatever was left in them, or all zero. The `initial` block and the
        table file still work in simulation, so the loss shows first in hardware. An error, because the
        data is simply not there; a note where the contents are all zero, since often nothing depends
        on them.

    Example:
        module classifier_table (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk
            logic [39:0] classes [0:8191];
            initial $readmemh("classes.hex", classes);
            always_ff @(posedge clk) begin
                if (we) classes[wa] <= d;
                q <= classes[ra];
            end
        endmodule

    Mended:
        module classifier_table (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk
            logic [39:0] classes [0:8191];
            always_ff @(posedge clk) begin
                if (we) classes[wa] <= d;
                q <= classes[ra];
            end
        endmodule
    """

    name = "no-initial-contents"
    family = "features"
    severity = Severity.ERROR

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, tier, clause = view.memory, chosen(view), view.clause(InitialContents)
        if tier is None or tier.initial_contents not in ("none", "zero"):
            return
        given = clause is not None or memory.contents == "given"
        zero = memory.contents == "zero" and tier.initial_contents == "none"
        if not given and not zero:
            return
        starts = "as zero" if tier.initial_contents == "zero" else "undefined"
        needs = "given data" if given else "zero in every word"
        place = memory.contents_span
        yield self.finding(
            f"`{memory.name}` needs {needs} at power-up, but `{tier.name}` starts {starts}",
            memory.span,
            severity=None if given else Severity.NOTE,
            paths=(memory.path,),
            related=[
                *([Related(place, "its contents are set here")] if place else []),
                *([Related(clause.span, "initial contents are asked for here")] if clause else []),
                *asked_here(view),
            ],
            numbers={"contents": "given" if given else "zero", "tier": tier.name},
            help=[
                "write the words after power-up, from a smaller ROM or over a link"
                if given
                else "keep a valid bit a word, or clear the words one by one after power-up",
                *wording.homes(view),
            ],
        )


RULE = NoInitialContents()
