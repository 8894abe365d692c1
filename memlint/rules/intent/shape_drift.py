"""The rule shape-drift."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.reading.intent.clauses import Shape
from memlint.rules import wording
from memlint.rules.base import Edit, Finding, Fix, Related, Rule
from memlint.rules.placed import shaped_by
from memlint.rules.view import MemoryView


class ShapeDrift(Rule):
    """The HDL resolves another depth or width than the intent states.

    Why it costs:
        A parameter changes three levels up and a table doubles, or a bus grows by a parity bit and
        every word takes a second block. The tier was chosen for the shape in the comment; with another
        shape the choice may no longer hold. A warning, because the array is still a working memory:
        either it or the comment is out of date. The offered change rewrites the comment to what the
        HDL says; it is left out where the clause speaks for memories of several shapes.

    Example:
        module delay_line (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            localparam int WORDS = 8192;
            // @mem in bulk; shape 4K x 40
            logic [39:0] line [0:WORDS-1];
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
            localparam int WORDS = 8192;
            // @mem in bulk; shape 8K x 40
            logic [39:0] line [0:WORDS-1];
            always_ff @(posedge clk) begin
                if (we) line[wa] <= d;
                q <= line[ra];
            end
        endmodule
    """

    name = "shape-drift"
    family = "intent"

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, bound = view.memory, view.bound(Shape)
        if bound is None or not isinstance(bound.clause, Shape):
            return
        stated = bound.clause
        if memory.depth is None or memory.width is None:
            return
        if (memory.depth, memory.width) == (stated.depth, stated.width):
            return
        found = f"shape {wording.number_in_clause(memory.depth)} x {memory.width}"
        each = " in each bank" if memory.banks > 1 else ""
        one_shape = len(view.shapes_under_clause) <= 1
        advice = [f"state `{found}`, if the HDL is right"]
        if not one_shape:
            advice = [f"the clause speaks for several shapes: state `{found}` where this one is instantiated"]
        advice.append(f"else bring the array back to {wording.shape(stated.depth, stated.width)}")
        editable = one_shape and bound.bound.level > 0
        yield self.finding(
            f"`{memory.name}` is {wording.shape(memory.depth, memory.width)}{each}, "
            f"its intent says {wording.shape(stated.depth, stated.width)}",
            memory.span,
            paths=(memory.path,),
            related=[Related(stated.span, "the shape is stated here"), *shaped_by(view)],
            numbers={
                "depth": memory.depth,
                "width": memory.width,
                "stated_depth": stated.depth,
                "stated_width": stated.width,
            },
            help=advice,
            fixes=[Fix(f"state `{found}`", (Edit(stated.span, found),))] if editable else [],
        )


RULE = ShapeDrift()
