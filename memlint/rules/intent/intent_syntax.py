"""The rule intent-syntax."""

from __future__ import annotations

from memlint.rules.base import Rule, Severity


class IntentSyntax(Rule):
    """A clause of an intent comment cannot be read.

    Why it costs:
        A clause that cannot be read is a check that does not happen. The comment still looks like a
        promise, so the next reader relies on something nobody verifies. An error, because what was
        meant is unknown. Clauses beside it that can be read still count. Whether an `accept` names a
        rule that exists is not a question of syntax: see acceptance-unused.

    Example:
        module delay_line (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk; shape 8K by 40
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
            logic [39:0] line [0:8191];
            always_ff @(posedge clk) begin
                if (we) line[wa] <= d;
                q <= line[ra];
            end
        endmodule
    """

    name = "intent-syntax"
    family = "intent"
    severity = Severity.ERROR


RULE = IntentSyntax()
