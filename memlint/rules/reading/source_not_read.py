"""The rule source-not-read."""

from __future__ import annotations

from memlint.rules.base import Rule


class SourceNotRead(Rule):
    """A piece of source that touches an array could not be read.

    Why it costs:
        memlint skips what it does not understand and carries on behind it. Where the skipped piece
        names an array, an access may be missing, so the ports, clocks and read style shown for it may
        be too few. Skipped code that touches no array costs nothing and is not reported. A warning,
        because the other findings on that array rest on less than the whole text.

    Example:
        module delay_line (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q, seen
        );
            logic [39:0] line [0:8191];
            always_ff @(posedge clk) begin
                if (we) line[wa] <= d;
                q <= line[ra];
            end
            always_ff @(posedge clk) if (we seen <= line[wa];
        endmodule

    Mended:
        module delay_line (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q, seen
        );
            logic [39:0] line [0:8191];
            always_ff @(posedge clk) begin
                if (we) line[wa] <= d;
                q <= line[ra];
            end
            always_ff @(posedge clk) if (we) seen <= line[wa];
        endmodule
    """

    name = "source-not-read"
    family = "reading"


RULE = SourceNotRead()
