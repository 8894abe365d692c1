"""The rule shape-unresolved."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule
from memlint.rules.placed import shaped_by
from memlint.rules.view import MemoryView


class ShapeUnresolved(Rule):
    """The depth or width of a memory cannot be worked out.

    Why it costs:
        Without a shape there are no blocks to count: nothing that depends on this memory is checked,
        and its blocks are missing from every total. memlint says so rather than guess a number. A
        warning, because a check that silently does not happen looks like one that passed.

    Example:
        module delay_line #(parameter int WORDS) (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            logic [39:0] line [0:WORDS-1];
            always_ff @(posedge clk) begin
                if (we) line[wa] <= d;
                q <= line[ra];
            end
        endmodule

    Mended:
        module delay_line #(parameter int WORDS = 8192) (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            logic [39:0] line [0:WORDS-1];
            always_ff @(posedge clk) begin
                if (we) line[wa] <= d;
                q <= line[ra];
            end
        endmodule
    """

    name = "shape-unresolved"
    family = "reading"

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory = view.memory
        if memory.unresolved is None:
            return
        place = memory.unresolved_span
        known = [
            f"{what} {wording.amount(number)}"
            for what, number in (("depth", memory.depth), ("width", memory.width))
            if number is not None
        ]
        but = f" ({wording.listed(known)} is known)" if known else ""
        yield self.finding(
            f"the shape of `{memory.name}` is not known{but}: {memory.unresolved}",
            memory.span,
            paths=(memory.path,),
            related=[*([Related(place, "this cannot be resolved")] if place else []), *shaped_by(view)],
            numbers={"depth": memory.depth, "width": memory.width},
            help=[
                "for a parameter of the top unit, give its value under `[parameters]` in memlint.toml",
                "for a name that the HDL alone does not settle, give its value under `[assume]`",
                "for a package or include file that is not read, add it to `sources` or `include_dirs`",
            ],
        )


RULE = ShapeUnresolved()
