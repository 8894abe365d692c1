"""The rule intent-unattached."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.rules.base import Finding, Related, Rule
from memlint.rules.view import DesignView


class IntentUnattached(Rule):
    """An intent comment speaks for nothing: no declaration follows it, or the array is no memory.

    Why it costs:
        An intent that belongs to no memory checks nothing. Code was inserted between the comment and
        its array, or the array lost its clocked write, or every index has become a constant, and the
        promise went with it. A warning, because the design itself may be right.

    Example:
        module valve_taps (
            input  logic       clk,
            input  logic [7:0] d,
            output logic [7:0] q
        );
            // @mem in fabric
            logic [7:0] taps [0:3];
            always_ff @(posedge clk) begin
                taps[0] <= d;
                taps[1] <= taps[0];
                taps[2] <= taps[1];
                taps[3] <= taps[2];
            end
            assign q = taps[3];
        endmodule

    Mended:
        module valve_taps (
            input  logic       clk,
            input  logic [7:0] d,
            output logic [7:0] q
        );
            logic [7:0] taps [0:3];
            always_ff @(posedge clk) begin
                taps[0] <= d;
                taps[1] <= taps[0];
                taps[2] <= taps[1];
                taps[3] <= taps[2];
            end
            assign q = taps[3];
        endmodule
    """

    name = "intent-unattached"
    family = "intent"

    def check_design(self, view: DesignView) -> Iterable[Finding]:
        for array in view.not_memories:
            for intent in array.intents:
                yield self.finding(
                    f"this intent speaks for `{array.name}`, which is no memory: {array.reason}",
                    intent.span,
                    paths=(array.path,),
                    related=[Related(array.span, f"`{array.name}` is declared here")],
                    help=[
                        f"remove the comment, if `{array.name}` is meant to be no memory",
                        "else write the array word by word under a clock edge and index it by a signal",
                    ],
                )


RULE = IntentUnattached()
