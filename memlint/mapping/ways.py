"""The ways a memory can be reckoned on a tier: a mode with its copies, its shapes and its word."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from memlint.device.facts import Mode, Tier
from memlint.mapping.chains import ChainLimits
from memlint.mapping.cuts import (
    fewest_blocks,
    fewest_units,
    layouts_to_compare,
    uniform_cost,
    uniform_piece,
)
from memlint.mapping.demand import Demand, Obstacle
from memlint.mapping.ecc import WordPlan, word_plan
from memlint.mapping.layout import Layout, Run, layout
from memlint.mapping.modes import nearest
from memlint.mapping.obstacles import candidate_modes
from memlint.mapping.runs import Piece
from memlint.mapping.shapes import ShapeTable
from memlint.mapping.tables import TierTables, tables_of
from memlint.mapping.words import Word


@dataclass(frozen=True, slots=True)
class Way:
    """One mode with everything needed to count in it, per bank."""

    mode: Mode
    copies: int
    table: ShapeTable
    plan: WordPlan
    limits: ChainLimits
    depth: int

    def units(self) -> int:
        """The fewest cost units of one bank in one copy."""
        if self.plan.hard is None:
            return fewest_units(self.table, self.depth, self.plan.word)
        return self.plan.hard.count * self.table.filling(self.table.pieces).cost(self.depth)

    def uniform_units(self) -> int:
        """The fewest cost units of one bank in one copy with one shape."""
        if self.plan.hard is None:
            return uniform_cost(self.table, self.depth, self.plan.word)
        return self.plan.hard.count * min(-(-self.depth // p.depth) * p.cost for p in self.table.pieces)

    def uniform_shape(self) -> tuple[int, int]:
        """The shape `uniform_units` is about."""
        if self.plan.hard is None:
            piece = uniform_piece(self.table, self.depth, self.plan.word, self.limits)
            return piece.depth, piece.width
        piece = min(self.table.pieces, key=lambda p: (-(-self.depth // p.depth) * p.cost, -p.depth))
        return piece.depth, piece.width

    def layout(self) -> Layout:
        """A layout of the fewest blocks."""
        if self.plan.hard is None:
            return fewest_blocks(self.table, self.depth, self.plan.word, self.limits)
        return min(self._ecc_layouts(), key=Layout.key)

    def layouts(self) -> list[Layout]:
        """Layouts to choose from by something else than blocks."""
        if self.plan.hard is None:
            return list(layouts_to_compare(self.table, self.depth, self.plan.word, self.limits))
        return self._ecc_layouts()

    def _ecc_layouts(self) -> list[Layout]:
        """Every code word in a strip of its own, all filled alike."""
        hard, bits = self.plan.hard, self.plan.word.bits
        assert hard is not None
        size = hard.data + hard.check
        fillings: list[tuple[tuple[Piece, int], ...]] = [
            ((piece, -(-self.depth // piece.depth)),) for piece in self.table.pieces
        ]
        fillings.append(self.table.filling(self.table.pieces).runs(self.depth))
        found = []
        for filling in fillings:
            runs = []
            for first in range(0, bits, size):
                at = 0
                for piece, blocks in filling:
                    words = min(self.depth - at, blocks * piece.depth)
                    runs.append(Run(at, words, first, min(size, bits - first), piece, blocks))
                    at += words
            found.append(layout(runs, self.limits))
        return found

    def enables_known(self, tier: Tier) -> bool:
        """Whether it is known which write lanes share a block in this mode."""
        return not self.plan.word.lanes or bool(self.mode.enables) or "enables" not in tier.unknown

    def units_unlaned(self) -> int:
        """The fewest cost units if write lanes cost nothing."""
        return fewest_units(self.table, self.depth, Word(self.plan.word.bits))

    def least_steps(self) -> int:
        """Steps of 1/splits block that one bank in one copy cannot go below: its bits at the density of the
        densest shape."""
        table = self.table
        exact = Fraction(table.steps_of * self.depth * self.plan.word.bits, table.unit) / table.densest
        return ceil(exact)

    def blocks(self, units: int, banks: int) -> Fraction:
        """Blocks of all banks and copies from the units of one."""
        return Fraction(units * banks * self.copies, self.table.unit)


def find_ways(demand: Demand, tier: Tier) -> tuple[list[Way], tuple[Obstacle, ...], str]:
    """The ways to reckon the memory on the tier, obstacles from unequal port widths, and, when there is
    no way, the reason.

    Modes that can do no better than another that is listed are left out.
    """
    # Of modes that count alike the first is told: for what is only read that is the one made for it.
    modes = sorted(candidate_modes(tier, demand), key=lambda one: one[0].name != "rom")
    if not modes:
        near = nearest(tier, demand)
        modes = [near] if near else []
    tables = tables_of(tier)
    write, read = demand.write_width or demand.width, demand.read_width or demand.width
    obstacles: tuple[Obstacle, ...] = ()
    if write != read:
        if tier.unequal_port_widths is None or (
            tier.unequal_port_widths and not any(mode.width_groups for mode, _ in modes)
        ):
            return [], (), f"the profile does not say which unequal port widths {tier.name} takes"
        found = _unequal_ways(demand, tier, modes, tables, write, read)
        if found:
            return found, (), ""
        obstacles = (Obstacle("widths", _widths_text(tier, modes, max(write, read), min(write, read))),)
        demand = replace(demand, write_width=None, read_width=None)
    ways: list[Way] = []
    for mode, copies in modes:
        listed = tables.modes[mode.name]
        if demand.ecc != "added" and any(
            one.copies <= copies and tables.stands_in(one.mode.name, mode.name) for one in ways
        ):
            continue
        plan = word_plan(demand, tier, mode)
        table = listed.plain if plan.hard is None else tables.ecc(plan.hard)
        if table is not None:
            ways.append(Way(mode, copies, table, plan, listed.limits, demand.depth))
    names = ", ".join(mode.name for mode, _ in modes)
    reason = "" if ways else f"the profile gives no block shapes of {tier.name} in mode {names or 'any'}"
    return ways, obstacles, reason


def _unequal_ways(
    demand: Demand, tier: Tier, modes: list[tuple[Mode, int]], tables: TierTables, write: int, read: int
) -> list[Way]:
    if not tier.unequal_port_widths:
        return []
    ways = []
    for mode, copies in modes:
        table = tables.unequal(mode, demand.width, write, read)
        if table is not None:
            plan = word_plan(demand, tier, mode)
            ways.append(Way(mode, copies, table, plan, tables.modes[mode.name].limits, demand.depth))
    return ways


def _widths_text(tier: Tier, modes: list[tuple[Mode, int]], wide: int, narrow: int) -> str:
    said = f"one port is {wide} bits wide, the other {narrow}"
    if not tier.unequal_port_widths:
        return f"{said}; the ports of {tier.name} have one width"
    if wide % narrow:
        return f"{said}, which is not a whole multiple"
    ratios = [mode.max_ratio for mode, _ in modes if mode.max_ratio is not None]
    if ratios and wide // narrow > max(ratios):
        return f"{said}, a ratio of {wide // narrow}; {tier.name} goes up to {max(ratios)}"
    return f"{said}; no shape of {tier.name} has two widths of one group in the ratio {wide // narrow}:1"
