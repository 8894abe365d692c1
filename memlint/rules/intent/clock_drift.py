"""The rule clock-drift."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from memlint.design.memory import BoundIntent, Clock, Memory
from memlint.reading.intent.clauses import Clocks
from memlint.rules import wording
from memlint.rules.base import Edit, Finding, Fix, Related, Rule
from memlint.rules.clock_words import clock_names, clock_places, declare_same, leaf
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
            yield self._no_such_net(memory, stated, unknown, winner.bound)
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
                *declare_same(memory.clocks),
            ],
        )

    def _no_such_net(self, memory: Memory, stated: Clocks, unknown: list[str], bound: BoundIntent) -> Finding:
        names = dict(bound.nets)
        own = _called(names, memory.clocks)
        near = {name: close_name(name, [*own, *names, *_leaves(memory.clocks)]) for name in unknown}
        advice = [f"`{name}` may be meant to be `{one}`" for name, one in near.items() if one]
        nets = "net" if len(unknown) == 1 else "nets"
        missing = wording.listed(wording.quoted(name) for name in unknown)
        where = f"unit `{bound.unit}`" if bound.unit else f"`{bound.scope}`"
        clause = f"clocks {', '.join(own)}"
        covered = len(own) > 1 and len(own) == len({clock.net for clock in memory.clocks})
        if covered:
            advice.append(f"say `{clause}`, if the HDL is right: these clock it")
        else:
            leaves = wording.listed(map(wording.quoted, own or _leaves(memory.clocks)))
            advice.append(f"the memory runs on {leaves or 'no clock that could be traced'}")
        return self.finding(
            f"the intent names the clock {nets} {missing}, which {where} does not have",
            stated.span,
            paths=(memory.path,),
            related=[Related(memory.span, f"`{memory.name}` is declared here")],
            numbers={"unknown_nets": len(unknown)},
            help=advice,
            fixes=[Fix(f"say `{clause}`", (Edit(stated.span, clause),), safe=False)] if covered else [],
        )


def _called(names: Mapping[str, Clock | None], clocks: tuple[Clock, ...]) -> list[str]:
    """A name in scope for each of the clocks that has one."""
    nets = {clock.net for clock in clocks}
    found: dict[str, str] = {}
    for name, net in names.items():
        if net is not None and net.net in nets:
            found.setdefault(net.net, name)
    return [name for name in names if name in found.values()]


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
