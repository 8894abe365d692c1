"""The rule unit-not-found."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule, Severity
from memlint.rules.view import DesignView

MOST_PLACES = 5
"""Further instances shown as related places; the paths name them all."""


class UnitNotFound(Rule):
    """A unit is instantiated whose source was not found.

    Why it costs:
        Whatever memories the unit holds are in no list and no total, and clocks that pass through it
        cannot be traced further. A note, once a unit and not once an instance: hard blocks and bought
        units without source are ordinary, and the totals name them anyway.

    Example:
        module jet_drive (
            input  logic       clk,
            input  logic [7:0] open_mask,
            output logic [7:0] jets
        );
            valve_driver driver (.clk(clk), .mask(open_mask), .jets(jets));
        endmodule

    Mended:
        module valve_driver (
            input  logic       clk,
            input  logic [7:0] mask,
            output logic [7:0] jets
        );
            always_ff @(posedge clk) jets <= mask;
        endmodule

        module jet_drive (
            input  logic       clk,
            input  logic [7:0] open_mask,
            output logic [7:0] jets
        );
            valve_driver driver (.clk(clk), .mask(open_mask), .jets(jets));
        endmodule
    """

    name = "unit-not-found"
    family = "reading"
    severity = Severity.NOTE

    def check_design(self, view: DesignView) -> Iterable[Finding]:
        for unit in view.missing:
            others = [span for span in unit.spans if span != unit.span]
            times = wording.plural(len(unit.instances), "instance")
            yield self.finding(
                f"unit `{unit.name}` ({times}) has no source here: "
                "memories inside it are in no list and no total",
                unit.span,
                paths=tuple(sorted(unit.instances)),
                related=[Related(span, "also instantiated here") for span in others[:MOST_PLACES]],
                numbers={"instances": len(unit.instances)},
                help=[
                    "add its file to `sources` or to a file list in memlint.toml",
                    "if it is a memory without source, describe it under `[[black_box]]`: "
                    f'unit = "{unit.name}", with its depth, width, ports and clocks',
                    "if it passes a clock on, as a gate or a buffer does, name the nets on both its sides in "
                    "`same` under `[clocks]`",
                ],
            )


RULE = UnitNotFound()
