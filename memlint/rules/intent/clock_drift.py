"""The rule clock-drift."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.design.memory import Clock, Memory
from memlint.reading.intent.clauses import Clocks
from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule
from memlint.rules.clock_words import clock_names, clock_places, leaf
from memlint.rules.near import close_name
from memlint.rules.view import MemoryView


class ClockDrift(Rule):
    """The memory runs on other clocks than the intent states.

    Why it costs:
        Clocks arrive through ports, and whoever connects a second one rarely opens the file with the
        array in it. A memory that gains a clock needs blocks with a clock per port, which not every
        tier has, and its read data needs a second look at every crossing. Names are traced to the nets
        they come from: two names on one net are one clock. A warning, because the array itself works.

    Example:
        module line_buffer (
            input  logic        pixel_clk, jet_clk, we,
            input  logic [8:0]  wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in block; one clock
            logic [39:0] line [0:511];
            always_ff @(posedge pixel_clk) if (we) line[wa] <= d;
            always_ff @(posedge jet_clk) q <= line[ra];
        endmodule

    Mended:
        module line_buffer (
            input  logic        pixel_clk, jet_clk, we,
            input  logic [8:0]  wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in block; clocks pixel_clk, jet_clk
            logic [39:0] line [0:511];
            always_ff @(posedge pixel_clk) if (we) line[wa] <= d;
            always_ff @(posedge jet_clk) q <= line[ra];
        endmodule
    """

    name = "clock-drift"
    family = "intent"

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, winner = view.memory, view.bound(Clocks)
        if winner is None or not isinstance(winner.clause, Clocks):
            return
        if memory.planned:
            # No RTL yet: its clocks are what the plan says.
            return
        stated = winner.clause
        nets = dict(winner.bound.clocks)
        unknown = [name for name in stated.names if nets.get(name) is None]
        if unknown:
            yield self._no_such_net(memory, stated, unknown, winner.bound.scope)
            return
        if not memory.clocks_known:
            return
        wanted = [nets[name] for name in stated.names]
        stated_nets = {clock.net for clock in wanted if clock is not None}
        if len(memory.clocks) == 1 if stated.one else stated_nets == {clock.net for clock in memory.clocks}:
            return
        names = clock_names(memory.clocks)
        says = "one clock" if stated.one else wording.listed(wording.quoted(name) for name in stated.names)
        yield self.finding(
            f"`{memory.name}` runs on {wording.listed(names.values()) or 'no clock'}, its intent says {says}",
            memory.span,
            paths=(memory.path,),
            related=[Related(stated.span, "the clocks are stated here"), *clock_places(memory, names)],
            numbers={"clocks": len(memory.clocks), "stated_clocks": 1 if stated.one else len(stated_nets)},
            help=[
                _statement(memory.clocks),
                f"else drive the memory from {says}",
                'if two nets are one clock, say `same = [["a", "b"]]` under `[clocks]` in memlint.toml',
            ],
        )

    def _no_such_net(self, memory: Memory, stated: Clocks, unknown: list[str], scope: str) -> Finding:
        near = {name: close_name(name, _leaves(memory.clocks)) for name in unknown}
        advice = [f"`{name}` may be meant to be `{one}`" for name, one in near.items() if one]
        leaves = wording.listed(wording.quoted(leaf) for leaf in _leaves(memory.clocks))
        advice.append(f"the memory runs on {leaves or 'no clock that could be traced'}")
        nets = "net" if len(unknown) == 1 else "nets"
        missing = wording.listed(wording.quoted(name) for name in unknown)
        return self.finding(
            f"the intent of `{memory.name}` names the clock {nets} {missing}, which `{scope}` does not have",
            stated.span,
            paths=(memory.path,),
            related=[Related(memory.span, f"`{memory.name}` is declared here")],
            help=advice,
        )


def _leaves(clocks: tuple[Clock, ...]) -> list[str]:
    return sorted({leaf(clock) for clock in clocks})


def _statement(clocks: tuple[Clock, ...]) -> str:
    """What to write if the HDL is right; names in scope are not known, so it is no ready-made edit."""
    match len(clocks):
        case 0:
            return "take the clause out, if the HDL is right: nothing here has a clock"
        case 1:
            return "say `one clock`, if the HDL is right"
        case _:
            nets = ", ".join(_leaves(clocks))
            return f"say `clocks {nets}`, if the HDL is right, by the names they have in this scope"


RULE = ClockDrift()
