"""The rule columns-do-not-fit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from memlint.device.facts import Tier
from memlint.mapping.columns import arrange, cannot_share, heights_of, named, smallest_conflict
from memlint.mapping.columns_pieces import Pieces, pieces_of, shorter_chains, with_chains_of
from memlint.mapping.demand import Placement
from memlint.reading.intent.clauses import ReadWithin
from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule, Severity
from memlint.rules.totals import MOST_PLACES, below, supply, total
from memlint.rules.view import DesignView, MemoryView

MOST_TRIES = 20_000
"""Steps of a search: fewer than `memlint plan` takes, because this runs while people type."""

MOST_MENDS = 2
MOST_TRIED = 8


@dataclass(frozen=True, slots=True)
class _Chained:
    view: MemoryView
    placement: Placement
    pieces: Pieces


class ColumnsDoNotFit(Rule):
    """The chains of a tier fit each on its own, and not all together in the columns there are.

    Why it costs:
        A chain stands in one column from end to end, so what a column has left over beside it is of use
        to shorter chains only. The blocks can suffice and the columns not: seven chains of nine blocks
        need seven columns of sixteen, whatever else is free. The build then cuts a chain where nobody
        planned for a multiplexer, or stops. An error, because as written it cannot be built; named are
        the fewest chains that cannot share the columns, and what would mend it.

    Example:
        module delay_bank (
            input  logic         clk, we,
            input  logic [16:0]  wa, ra,
            input  logic [279:0] d,
            output logic [279:0] q
        );
            for (genvar i = 0; i < 7; i++) begin : valve
                // @mem in bulk
                logic [39:0] line [0:73727];
                always_ff @(posedge clk) begin
                    if (we) line[wa] <= d[40*i +: 40];
                    q[40*i +: 40] <= line[ra];
                end
            end
        endmodule

    Mended:
        module delay_bank (
            input  logic         clk, we,
            input  logic [15:0]  wa, ra,
            input  logic [279:0] d,
            output logic [279:0] q
        );
            for (genvar i = 0; i < 7; i++) begin : valve
                // @mem in bulk
                logic [39:0] line [0:65535];
                always_ff @(posedge clk) begin
                    if (we) line[wa] <= d[40*i +: 40];
                    q[40*i +: 40] <= line[ra];
                end
            end
        endmodule
    """

    name = "columns-do-not-fit"
    family = "chains"
    severity = Severity.ERROR

    def check_design(self, view: DesignView) -> Iterable[Finding]:
        if len(view.roots) != 1:
            return
        memories = [one for one in view.memories if below(one.memory.path, view.roots[0])]
        for tier in view.device.tiers:
            if tier.columns and tier.chain is not None:
                yield from self._tier(view, tier, memories)

    def _tier(self, view: DesignView, tier: Tier, memories: Sequence[MemoryView]) -> Iterable[Finding]:
        chained = list(_chained(tier, memories))
        lengths = [length for one in chained for length in one.pieces.chains]
        if sum(lengths) > sum(heights_of(tier.columns)):
            return  # device-over-budget speaks: there are not even the blocks
        conflict = smallest_conflict(lengths, tier.columns, MOST_TRIES)
        if not conflict:
            return
        involved = [one for one in chained if one.pieces.chains and one.pieces.chains[0] >= conflict[-1]]
        involved.sort(key=lambda one: (-one.pieces.chains[0], one.view.memory.path))
        first, kind = involved[0].view.memory, _kind(tier)
        reason = arrange(conflict, 0, tier.columns, MOST_TRIES).reason
        because = "" if reason == cannot_share(conflict) else f": {reason}"
        yield self.finding(
            f"{wording.plural(len(conflict), 'chain')} of `{tier.name}` "
            f"({named(conflict)} blocks) cannot share its columns ({kind}){because}",
            first.span,
            paths=tuple(sorted(one.view.memory.path for one in involved)),
            related=[
                Related(one.view.memory.span, f"`{one.view.memory.name}` has {_chains(one)}")
                for one in _one_a_place(involved)
            ],
            numbers={
                "tier": tier.name,
                "chains": len(lengths),
                "conflicting": len(conflict),
                "longest": conflict[0],
                "columns": sum(column.count for column in tier.columns),
            },
            help=_mends(view, tier, chained, involved, memories),
        )


def _chained(tier: Tier, memories: Iterable[MemoryView]) -> Iterator[_Chained]:
    for view in memories:
        if view.tier is None or view.tier.name != tier.name or view.placement is None or view.demand is None:
            continue
        pieces = pieces_of(view.placement, tier, view.demand.banks)
        if pieces is not None:
            yield _Chained(view, view.placement, pieces)


def _kind(tier: Tier) -> str:
    return wording.listed(f"{column.count} of {column.blocks} blocks" for column in tier.columns)


def _chains(one: _Chained) -> str:
    return f"{wording.plural(len(one.pieces.chains), 'chain')} of {named(one.pieces.chains)} blocks"


def _one_a_place(chained: Sequence[_Chained]) -> list[_Chained]:
    """The first memory of each declaration and chain length."""
    seen = {(one.view.memory.span, one.pieces.chains[0]): one for one in reversed(chained)}
    return list(reversed(seen.values()))[:MOST_PLACES]


def _mends(
    view: DesignView,
    tier: Tier,
    chained: Sequence[_Chained],
    involved: Sequence[_Chained],
    memories: Sequence[MemoryView],
) -> list[str]:
    """What one change would mend: a chain cut once more, or a memory moved."""
    tried = _one_a_place(involved)[:MOST_TRIED]
    splits = [text for one in tried if (text := _split(tier, chained, one))]
    moves = [text for one in tried if (text := _move(view, tier, chained, one, memories))]
    found = [*splits[:MOST_MENDS], *moves[:MOST_MENDS]]
    if found:
        return found
    return [
        "no single change mends it: split or move several of these memories; `memlint plan` looks for which"
    ]


def _others_fit(tier: Tier, chained: Sequence[_Chained], one: _Chained, instead: Pieces) -> bool:
    others = [other.pieces for other in chained if other is not one]
    lengths = [*instead.chains, *(length for other in others for length in other.chains)]
    singles = instead.singles + sum(other.singles for other in others)
    return arrange(lengths, ceil(singles), tier.columns, MOST_TRIES).fits is True


def _split(tier: Tier, chained: Sequence[_Chained], one: _Chained) -> str:
    within, demand = one.view.clause(ReadWithin), one.view.demand
    assert demand is not None
    for length in shorter_chains(one.pieces.chains[0]):
        shorter = with_chains_of(tier, length)
        placement = one.view.reckon(demand, shorter)
        pieces = pieces_of(placement, shorter, demand.banks)
        if pieces is None or placement.blocks != one.placement.blocks:
            continue
        cycles = placement.read_latency
        if within is not None and cycles is not None and cycles > within.cycles:
            continue
        if _others_fit(tier, chained, one, pieces):
            read = "" if cycles is None else f", read in {wording.plural(cycles, 'cycle')}"
            return (
                f"split `{one.view.memory.path}` into chains of at most {wording.plural(length, 'block')}: "
                f"a {placement.ways}:1 multiplexer in fabric{read}"
            )
    return ""


def _move(
    view: DesignView, tier: Tier, chained: Sequence[_Chained], one: _Chained, memories: Sequence[MemoryView]
) -> str:
    if not _others_fit(tier, chained, one, Pieces((), Fraction(0))):
        return ""
    for home in one.view.elsewhere:
        other = view.device.tier(home.tier)
        there = supply(view, other) if other is not None else None
        if there is None or home.blocks is None:
            continue
        if home.blocks <= there - total(memories, home.tier).blocks:
            return f"or move `{one.view.memory.path}`: {wording.placed_on(home)}"
    return ""


RULE = ColumnsDoNotFit()
