"""The rule two-clocks-on-one-clock-tier."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.design.memory import Clock
from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule, Severity
from memlint.rules.clock_words import clock_names, clock_places, declare_same
from memlint.rules.placed import asked_here, chosen, in_other_blocks, move_to, obstacle
from memlint.rules.view import MemoryView


class TwoClocksOnOneClockTier(Rule):
    """A memory with two or more clocks is in a tier whose ports all share one.

    Why it costs:
        The big blocks buy their density with one clock for all ports. A memory written on the camera's
        pixel clock and read on the system clock does not go in, whatever its shape, and the build
        finds that out only after everything else was planned around it. An error, because it cannot be
        built; a note where the clocks share one root and edge and differ only by gating, because then
        the gate can become an enable and the memory has one clock.

    Example:
        module line_buffer (
            input  logic        pixel_clk, jet_clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk
            logic [39:0] line [0:8191];
            always_ff @(posedge pixel_clk) if (we) line[wa] <= d;
            always_ff @(posedge jet_clk) q <= line[ra];
        endmodule

    Mended:
        module line_buffer (
            input  logic        jet_clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk
            logic [39:0] line [0:8191];
            always_ff @(posedge jet_clk) if (we) line[wa] <= d;
            always_ff @(posedge jet_clk) q <= line[ra];
        endmodule
    """

    name = "two-clocks-on-one-clock-tier"
    family = "clocks"
    severity = Severity.ERROR

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, tier = view.memory, chosen(view)
        if tier is None or len(memory.clocks) < 2:
            return
        if tier.clocks != "one" and obstacle(view, "clocks") is None:
            return
        names = clock_names(memory.clocks)
        where = wording.quoted(tier.name)
        mode = "" if tier.clocks == "one" else f" with {wording.memory_ports(memory)}"
        root = _shared_root(memory.clocks)
        if root is not None:
            advice = [f"make the gate an enable, so that every port runs on `{root}`", *wording.homes(view)]
            gated = f"; they come from `{root}` and differ only by gating"
        else:
            advice = [
                *wording.homes(view),
                f"to stay in {where}, run every access on one of {wording.listed(names.values())} "
                "and bring the other side over outside the memory",
                *declare_same(memory.clocks),
            ]
            gated = ""
        yield self.finding(
            f"`{memory.name}` has {len(names)} clocks, {wording.listed(names.values())}, "
            f"but all ports of a {where} block{mode} share one{gated}",
            memory.span,
            severity=Severity.NOTE if root is not None else None,
            paths=(memory.path,),
            related=[*clock_places(memory, names), *_entries(memory.clocks, names), *asked_here(view)],
            numbers={"clocks": len(names), "tier": tier.name},
            help=advice,
            fixes=move_to(view, in_other_blocks(view)),
        )


def _shared_root(clocks: tuple[Clock, ...]) -> str | None:
    """The net all the clocks are gated from, if they have one net and one edge in common."""
    roots = {(clock.root or clock.net, clock.edge) for clock in clocks}
    return next(iter(roots))[0] if len(roots) == 1 else None


def _entries(clocks: tuple[Clock, ...], names: dict[Clock, str]) -> list[Related]:
    return [Related(clock.span, f"{names[clock]} is traced from here") for clock in clocks if clock.span]


RULE = TwoClocksOnOneClockTier()
