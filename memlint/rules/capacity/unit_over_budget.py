"""The rule unit-over-budget."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from memlint.reading.intent.clauses import Budget
from memlint.rules import wording
from memlint.rules.base import Finding, Rule, Severity
from memlint.rules.totals import Total, below, largest, not_counted, planned_part, total
from memlint.rules.view import DesignView, UnitIntent
from memlint.text.source import Span


class UnitOverBudget(Rule):
    """A unit, with everything below it, takes more blocks of a tier than its budget allows.

    Why it costs:
        Budgets are how several people share one device: who goes over takes blocks from somebody who
        planned with them, and the sum shows it only when all parts come together. An error when the
        fewest blocks possible are too many; a note when only the count with one shape for each memory
        is, which is what most flows build. Each instance has the whole budget to itself.

    Example:
        module camera_channel (
            input  logic        clk, we,
            input  logic [13:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk
            logic [39:0] pixels [0:16383];
            always_ff @(posedge clk) begin
                if (we) pixels[wa] <= d;
                q <= pixels[ra];
            end
            // @mem budget bulk <= 1
        endmodule

    Mended:
        module camera_channel (
            input  logic        clk, we,
            input  logic [13:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk
            logic [39:0] pixels [0:16383];
            always_ff @(posedge clk) begin
                if (we) pixels[wa] <= d;
                q <= pixels[ra];
            end
            // @mem budget bulk <= 2
        endmodule
    """

    name = "unit-over-budget"
    family = "capacity"
    severity = Severity.ERROR

    def check_design(self, view: DesignView) -> Iterable[Finding]:
        for unit in view.unit_intents:
            for clause in unit.intent.clauses:
                if isinstance(clause, Budget):
                    yield from self._budget(view, unit, clause)

    def _budget(self, view: DesignView, unit: UnitIntent, budget: Budget) -> Iterable[Finding]:
        memories = [one for one in view.memories if below(one.memory.path, unit.path)]
        for (tier, limit), span in zip(budget.limits, budget.tier_spans, strict=True):
            sums = total(memories, tier)
            if sums.blocks > limit:
                yield self._over(view, unit, sums, limit, sums.blocks, span)
            elif sums.uniform_blocks is not None and sums.uniform_blocks > limit:
                yield self._over(view, unit, sums, limit, sums.uniform_blocks, span)

    def _over(
        self, view: DesignView, unit: UnitIntent, sums: Total, limit: Fraction, taken: Fraction, span: Span
    ) -> Finding:
        certain = sums.blocks > limit
        least = sums.least if certain else ""
        how = "" if certain else " with one shape for each memory"
        missing, planned = not_counted(view, unit.path, sums.unknown, sums.homeless), planned_part(sums)
        over = wording.plural(taken - limit, "block")
        return self.finding(
            f"an instance of `{unit.unit}` takes {least}{wording.plural(taken, 'block')} of "
            f"`{sums.tier}`{how}, its budget is {wording.amount(limit)}",
            span,
            severity=None if certain else Severity.NOTE,
            paths=(unit.path,),
            related=largest(sums.memories),
            numbers={
                "tier": sums.tier,
                "blocks": sums.blocks,
                "uniform_blocks": sums.uniform_blocks,
                "budget": limit,
                "unknown": sums.unknown,
                "without_tier": len(sums.homeless),
            },
            help=[
                f"move {over} elsewhere, largest memory first",
                f"or raise the budget to {wording.amount(taken)}, if the device has them to spare",
                *(one for one in (planned, missing) if one),
            ],
        )


RULE = UnitOverBudget()
