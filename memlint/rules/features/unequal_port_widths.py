"""The rule unequal-port-widths."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.reading.intent.clauses import Ports
from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule, Severity
from memlint.rules.placed import asked_here, chosen, obstacle
from memlint.rules.stated_ports import has_widths, misfit, statement
from memlint.rules.view import MemoryView


class UnequalPortWidths(Rule):
    """A memory is written and read in different widths, which its tier cannot do.

    Why it costs:
        Blocks that have one shape at a time need the width change outside: words collected on the way
        in or picked apart on the way out. A tier that has it, has it only between widths of one group
        and up to some ratio. An error, because the stated ports cannot be had there; a warning where a
        stated width does not go with the word at all, so that nothing can be counted with it.

    Example:
        module telemetry_pack (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk; ports 1w(40) 1r(10)
            logic [39:0] words [0:8191];
            always_ff @(posedge clk) begin
                if (we) words[wa] <= d;
                q <= words[ra];
            end
        endmodule

    Mended:
        module telemetry_pack (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk; ports 1w 1r
            logic [39:0] words [0:8191];
            always_ff @(posedge clk) begin
                if (we) words[wa] <= d;
                q <= words[ra];
            end
        endmodule
    """

    name = "unequal-port-widths"
    family = "features"
    severity = Severity.ERROR

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, tier, clause = view.memory, chosen(view), view.clause(Ports)
        if clause is None or memory.width is None or not has_widths(clause):
            return
        odd = misfit(clause, memory.width)
        if odd is not None:
            yield self._misfit(view, clause, odd)
            return
        write, read = clause.write_width or memory.width, clause.read_width or memory.width
        if tier is None or write == read:
            return
        reason = obstacle(view, "widths")
        if reason is None and tier.unequal_port_widths is not False:
            return
        why = reason.text if reason is not None else f"all ports of a `{tier.name}` block have one width"
        wide, narrow = max(write, read), min(write, read)
        # The reason is a sentence of its own elsewhere, and begins with the widths.
        why = why.removeprefix(f"one port is {wide} bits wide, the other {narrow}").lstrip(",; ")
        mark = "," if why.startswith("which ") else ":"
        yield self.finding(
            f"`{memory.name}` is written {write} and read {wording.plural(read, 'bit')} wide{mark} {why}",
            memory.span,
            paths=(memory.path,),
            related=[Related(clause.span, "the widths are stated here"), *asked_here(view)],
            numbers={"write_width": write, "read_width": read, "tier": tier.name},
            help=[
                f"use {wide} bits on both sides, and collect or pick apart the words outside the memory",
                *wording.homes(view),
            ],
        )

    def _misfit(self, view: MemoryView, clause: Ports, odd: int) -> Finding:
        memory, width = view.memory, view.memory.width
        has = wording.memory_ports(memory)
        return self.finding(
            f"the intent of `{memory.name}` says `{statement(clause)}`, but {wording.plural(odd, 'bit')} are "
            f"neither a multiple nor a part of its word of {width}: it is counted with {has} of {width} bits",
            memory.span,
            severity=Severity.WARNING,
            paths=(memory.path,),
            related=[Related(clause.span, "the widths are stated here")],
            numbers={"stated_width": odd, "width": width},
            help=[
                f"state widths that hold whole words of {width} bits, or divide one",
                "or leave the widths out, if every port moves one word",
            ],
        )


RULE = UnequalPortWidths()
