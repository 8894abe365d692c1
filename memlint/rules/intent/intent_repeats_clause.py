"""The rule intent-repeats-clause."""

from __future__ import annotations

from memlint.rules.base import Rule


class IntentRepeatsClause(Rule):
    """An intent holds the same kind of clause twice.

    Why it costs:
        Two `shape` or two `in` clauses in one intent contradict each other or say the same thing
        twice; either way a reader cannot tell which one holds. Consecutive `@mem` lines are one
        intent, so a line pasted from a neighbour shows up here. `accept` and `budget` add up and may
        be repeated. A warning, because the rest of the intent is still checked.

    Example:
        module delay_line (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk; shape 8K x 40
            // @mem ports 1w 1r; shape 8K x 40
            logic [39:0] line [0:8191];
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
            // @mem in bulk; shape 8K x 40
            // @mem ports 1w 1r
            logic [39:0] line [0:8191];
            always_ff @(posedge clk) begin
                if (we) line[wa] <= d;
                q <= line[ra];
            end
        endmodule
    """

    name = "intent-repeats-clause"
    family = "intent"


RULE = IntentRepeatsClause()
