"""The rule port-drift."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from memlint.design.memory import Memory, MemoryPort
from memlint.reading.intent.clauses import Ports
from memlint.rules import wording
from memlint.rules.base import Edit, Finding, Fix, Related, Rule
from memlint.rules.stated_ports import as_stated, counts_of, has_widths, statement
from memlint.rules.view import MemoryView


class PortDrift(Rule):
    """The memory has more or fewer ports, after sharing, than the intent states.

    Why it costs:
        One more read with an address of its own is one more line of HDL, and one more copy of every
        block the memory takes; a second write may leave registers as the only home. The other way
        round, a port that is no longer used pays for a mode that nobody needs. Accesses on one clock
        with one address are one port, exclusive writes of one process are one port; a read and a write
        with different addresses stay two. A warning, because the array itself works.

    Example:
        module reject_counts (
            input  logic        clk, we,
            input  logic [9:0]  wa, ra, probe,
            input  logic [39:0] d,
            output logic [39:0] q, seen
        );
            // @mem in block; ports 1w 1r
            logic [39:0] counts [0:1023];
            always_ff @(posedge clk) begin
                if (we) counts[wa] <= d;
                q <= counts[ra];
                seen <= counts[probe];
            end
        endmodule

    Mended:
        module reject_counts (
            input  logic        clk, we,
            input  logic [9:0]  wa, ra, probe,
            input  logic [39:0] d,
            output logic [39:0] q, seen
        );
            // @mem in block; ports 1w 2r
            logic [39:0] counts [0:1023];
            always_ff @(posedge clk) begin
                if (we) counts[wa] <= d;
                q <= counts[ra];
                seen <= counts[probe];
            end
        endmodule
    """

    name = "port-drift"
    family = "intent"

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, winner = view.memory, view.bound(Ports)
        if winner is None or not isinstance(winner.clause, Ports):
            return
        # An access whose clock is unknown might share a port with another: the count is not known.
        if not memory.clocks_known:
            return
        stated = winner.clause
        found = counts_of(memory)
        if as_stated(found, stated, memory.width):
            return
        w, r, rw = found
        clause = "ports rom" if not (w or rw) else f"ports {wording.ports(w, r, rw)}"
        says = statement(stated)
        yield self.finding(
            f"`{memory.name}` has {wording.memory_ports(memory)} after sharing, its intent says {says}",
            memory.span,
            paths=(memory.path,),
            related=[Related(stated.span, "the ports are stated here"), *_places(memory)],
            numbers={
                "w": w,
                "r": r,
                "rw": rw,
                "stated_w": stated.w,
                "stated_r": stated.r,
                "stated_rw": stated.rw,
            },
            help=[
                f"say `{clause}`, if the HDL is right",
                f"else bring the HDL back to {says}: accesses on one clock with one address share a port",
                *(note.text for note in memory.notes if "could be" in note.text),
            ],
            fixes=[Fix(f"say `{clause}`", (Edit(stated.span, clause),), safe=False)]
            if winner.bound.level > 0 and not has_widths(stated)
            else [],
        )


def _places(memory: Memory) -> Iterator[Related]:
    for port in memory.ports:
        if port.accesses:
            access = port.accesses[0]
            yield Related(access.span, f"{_kind(port)} port{wording.at_address(access)}")


def _kind(port: MemoryPort) -> str:
    if port.writes and port.reads:
        return "read and write"
    return "write" if port.writes else "read"


RULE = PortDrift()
