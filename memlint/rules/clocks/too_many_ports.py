"""The rule too-many-ports."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from memlint.design.memory import Memory, MemoryPort
from memlint.device.facts import Tier
from memlint.mapping.demand import Demand
from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule, Severity
from memlint.rules.placed import asked_here, chosen, obstacle
from memlint.rules.stated_ports import counts_of
from memlint.rules.view import MemoryView

_FEW_READS = 4


class TooManyPorts(Rule):
    """A memory needs more ports than any mode of its tier has, copies included, or a great many copies.

    Why it costs:
        More reads than a block has can be had by writing the same words to several copies. More writes
        cannot: every copy needs every write, so a third write port leaves registers as the only home,
        one flip-flop a bit. An error, because the chosen tier cannot be what gets built; a note where it
        can, and its reads take so many copies that it is hardly meant.

    Example:
        module reject_counts (
            input  logic        clk, we_a, we_b, we_c,
            input  logic [9:0]  wa, wb, wc, ra,
            input  logic [39:0] da, db, dc,
            output logic [39:0] q
        );
            // @mem in block
            logic [39:0] counts [0:1023];
            always_ff @(posedge clk) begin
                if (we_a) counts[wa] <= da;
                if (we_b) counts[wb] <= db;
                if (we_c) counts[wc] <= dc;
                q <= counts[ra];
            end
        endmodule

    Mended:
        module reject_counts (
            input  logic        clk, we_a, we_b, we_c,
            input  logic [9:0]  wa, wb, wc, ra,
            input  logic [39:0] da, db, dc,
            output logic [39:0] q
        );
            // @mem in block
            logic [39:0] counts [0:1023];
            always_ff @(posedge clk) begin
                if (we_a) counts[wa] <= da;
                else if (we_b) counts[wb] <= db;
                else if (we_c) counts[wc] <= dc;
                q <= counts[ra];
            end
        endmodule

    Settings:
        many_copies = 8: a note from more copies than this. Register files of wide machines have up to
            about as many reads; beyond, each copy is one more array that every write goes to.
    """

    name = "too-many-ports"
    family = "clocks"
    severity = Severity.ERROR
    settings = {"many_copies": 8}

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, tier = view.memory, chosen(view)
        if tier is None or obstacle(view, "ports") is None:
            yield from self._copies(view)
            return
        w, r, rw = counts_of(memory)
        yield self.finding(
            f"`{memory.name}` has {wording.memory_ports(memory)} after sharing, "
            f"but `{tier.name}` takes {_takes(tier)}",
            memory.span,
            paths=(memory.path,),
            related=[*_places((port for port in memory.ports if port.writes), "write"), *asked_here(view)],
            numbers={"w": w, "r": r, "rw": rw, "tier": tier.name},
            help=[
                *wording.homes(view),
                *_neighbours(memory, w, r),
                "put writes that never happen together into exclusive branches of one process: "
                "they are one port",
                "or let the writers take turns through a small FIFO each",
            ],
        )

    def _copies(self, view: MemoryView) -> Iterable[Finding]:
        memory, tier, demand, placement = view.memory, view.tier, view.demand, view.placement
        if tier is None or demand is None or placement is None or not placement.fits:
            return
        copies, blocks = placement.copies or 1, placement.blocks
        if blocks is None or copies <= self.setting(view, "many_copies"):
            return
        each = blocks / copies
        reads = demand.reads + demand.readwrites
        yield self.finding(
            f"`{memory.name}` has {wording.memory_ports(memory)} after sharing: its "
            f"{wording.plural(reads, 'read')} take {copies} copies in `{tier.name}`, "
            f"{wording.plural(blocks, 'block')} instead of {wording.amount(each)}",
            memory.span,
            severity=Severity.NOTE,
            paths=(memory.path,),
            related=[*_places((port for port in memory.ports if port.reads), "read"), *asked_here(view)],
            numbers={"reads": reads, "copies": copies, "blocks": blocks, "one_copy": each, "tier": tier.name},
            help=[
                *wording.homes(view),
                *_taking_turns(view, demand, tier),
                "or divide the words over banks, where each reader needs a few of them only",
            ],
        )


def _taking_turns(view: MemoryView, demand: Demand, tier: Tier) -> list[str]:
    """What the memory takes with a few reads at a time."""
    there = view.reckon(replace(demand, reads=_FEW_READS), tier)
    if not there.fits or there.blocks is None:
        return []
    return [
        f"let the readers take turns: {_FEW_READS} reads at once take {wording.plural(there.blocks, 'block')}"
    ]


def _takes(tier: Tier) -> str:
    """The most ports that a tier's modes have, in the words of the `ports` clause."""
    modes = {mode.name for mode in tier.modes}
    said = [
        *(["2rw"] if "true_dual" in modes else []),
        *(["1w with any number of reads in copies"] if modes & {"simple_dual", "true_dual"} else []),
    ]
    if not said:
        said = ["1rw" if "single" in modes else "reads alone"]
    return wording.listed(said, "or")


def _neighbours(memory: Memory, w: int, r: int) -> list[str]:
    """What to say where one statement in a loop writes several words at once."""
    places = {port.accesses[0].span for port in memory.ports if port.writes and port.accesses}
    if len(places) != 1 or memory.width is None or memory.count(True, True) or r < 1:
        return []
    wide = w * memory.width
    return [
        f"if these are {w} neighbouring words at once, say `ports 1w({wide}) {r}r({memory.width})`, or make "
        f"them one word of {wide} bits with {w} write lanes"
    ]


def _places(ports: Iterable[MemoryPort], kind: str) -> list[Related]:
    """Where these ports are used, each place once with how many of them are there."""
    first = (port.accesses[0] for port in ports if port.accesses)
    found = Counter((access.span, wording.at_address(access)) for access in first)
    return [
        Related(span, f"{_counted(count, kind)}{f',{at}' if at else ''}")
        for (span, at), count in found.items()
    ]


def _counted(count: int, kind: str) -> str:
    return f"a {kind} port" if count == 1 else f"{count} {kind} ports"


RULE = TooManyPorts()
