"""Totals of a design: blocks by tier, for a root, for every instance, for every unit.

Sums are exact fractions of what `list` shows memory by memory; only `whole` is rounded up, once, for
comparing with a supply. What has no known count is named, never guessed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from memlint.device.facts import Device, Tier
from memlint.engine.judgement import Judgement
from memlint.rules.totals import below, blocks_of, external_bits
from memlint.rules.view import MemoryView, MissingUnit


@dataclass(frozen=True, slots=True)
class TierSum:
    """What some memories take of one tier.

    `blocks` and `uniform_blocks` are exact (flip-flops for `registers`); `uniform_blocks` is None when a
    counted memory has none. `bits` are the arrays' own, banks included, copies and check bits not.
    `fill` is bits kept (copies and check bits included) over bits taken, None where the profile does not
    say. Of `memories`, `unknown` have no count and `planned` no RTL yet; the latter take `planned_blocks`.
    """

    tier: str
    role: str
    blocks: Fraction
    uniform_blocks: Fraction | None
    fill: Fraction | None
    bits: int
    memories: int
    unknown: int
    planned: int
    planned_blocks: Fraction

    @property
    def whole(self) -> int:
        """Whole blocks: the exact sum, rounded up once."""
        return ceil(self.blocks)


@dataclass(frozen=True, slots=True)
class ExternalSum:
    """What is kept off the chip in one tier.

    `bits` with check bits, `capacity_bits` and `bandwidth_gbit_s` as the profile has them (None unknown).
    `peak_gbit_s` is one access a cycle on every port at the device's target clock, the most that the
    memories can ask for; None while the target clock or a shape is not known.
    """

    tier: str
    bits: int
    capacity_bits: int | None
    bandwidth_gbit_s: float | None
    peak_gbit_s: Fraction | None
    memories: int
    unknown: int


@dataclass(frozen=True, slots=True)
class Place:
    """An instance with everything below it. `missing` are units without source in it, by name, that nothing
    describes; `black_boxes` those that memlint.toml does, counted as it says. `homeless` memories have no
    tier yet. `tiers` are those with a memory here, in the device's order."""

    path: str
    unit: str
    tiers: tuple[TierSum, ...]
    outside: tuple[ExternalSum, ...]
    missing: tuple[str, ...]
    homeless: tuple[str, ...]
    black_boxes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class UnitTotal:
    """All instances of a unit together, each memory counted once. `own` is what the unit declares itself,
    `tiers` that with everything below."""

    unit: str
    instances: int
    own: tuple[TierSum, ...]
    tiers: tuple[TierSum, ...]


def tier_sums(views: Iterable[MemoryView], device: Device) -> tuple[TierSum, ...]:
    """A sum for each on-chip tier that one of the memories is on."""
    by_tier = _by_tier(views)
    return tuple(_sum(tier, by_tier[tier.name]) for tier in device.on_chip() if tier.name in by_tier)


def external_sums(views: Iterable[MemoryView], device: Device) -> tuple[ExternalSum, ...]:
    """A sum for each external tier that one of the memories is on."""
    by_tier = _by_tier(views)
    return tuple(
        _outside(tier, by_tier[tier.name], device)
        for tier in device.tiers
        if tier.role == "external" and tier.name in by_tier
    )


def instance_totals(judgement: Judgement) -> tuple[Place, ...]:
    """Every instance that holds a memory, or a unit without source, in order of its path."""
    inside: dict[str, list[MemoryView]] = {path: [] for path, _ in judgement.instances}
    for view in judgement.memories:
        for path in _above(view.memory.path):
            if path in inside:
                inside[path].append(view)
    places = [
        _place(path, unit, inside[path], judgement.missing, judgement.device)
        for path, unit in sorted(judgement.instances)
    ]
    return tuple(one for one in places if one.tiers or one.outside or one.missing or one.homeless)


def unit_totals(judgement: Judgement) -> tuple[UnitTotal, ...]:
    """Every unit with a memory in it or below, most of any one tier's supply first."""
    paths: dict[str, list[str]] = {}
    for path, unit in judgement.instances:
        paths.setdefault(unit, []).append(path)
    unit_at = dict(judgement.instances)
    under: dict[str, list[MemoryView]] = {}
    own: dict[str, list[MemoryView]] = {}
    for view in judgement.memories:
        holders = [path for path in _above(view.memory.path) if path in unit_at]
        for unit in dict.fromkeys(unit_at[path] for path in holders):
            under.setdefault(unit, []).append(view)
        if holders:
            own.setdefault(unit_at[holders[-1]], []).append(view)
    device = judgement.device
    found = [
        UnitTotal(unit, len(paths[unit]), tier_sums(own.get(unit, ()), device), tier_sums(views, device))
        for unit, views in under.items()
    ]
    return tuple(sorted(found, key=lambda one: (-_scarcest(one.tiers, device), one.unit)))


def root_totals(judgement: Judgement, root: str) -> Place:
    """A root with everything below it."""
    unit = dict(judgement.instances).get(root, root)
    views = [view for view in judgement.memories if below(view.memory.path, root)]
    return _place(root, unit, views, judgement.missing, judgement.device)


def _above(path: str) -> list[str]:
    """Every dotted beginning of a path, shortest first."""
    return [path[:at] for at, character in enumerate(path) if character == "."]


def _place(
    path: str, unit: str, views: Sequence[MemoryView], missing: Iterable[MissingUnit], device: Device
) -> Place:
    return Place(
        path,
        unit,
        tier_sums(views, device),
        external_sums(views, device),
        tuple(sorted(one.name for one in missing if any(below(at, path) for at in one.instances))),
        tuple(view.memory.path for view in views if view.tier is None),
        tuple(sorted({view.memory.unit for view in views if view.memory.black_box})),
    )


def _by_tier(views: Iterable[MemoryView]) -> Mapping[str, list[MemoryView]]:
    found: dict[str, list[MemoryView]] = {}
    for view in views:
        if view.tier is not None:
            found.setdefault(view.tier.name, []).append(view)
    return found


def _sum(tier: Tier, views: Sequence[MemoryView]) -> TierSum:
    counted = [(view, blocks) for view in views if (blocks := blocks_of(view)) is not None]
    uniform = [view.placement.uniform_blocks for view, _ in counted if view.placement is not None]
    known = [one for one in uniform if one is not None]
    planned = [(view, blocks) for view, blocks in counted if view.memory.planned]
    return TierSum(
        tier=tier.name,
        role=tier.role,
        blocks=_added(blocks for _, blocks in counted),
        uniform_blocks=_added(known) if len(known) == len(counted) else None,
        fill=_fill(counted),
        bits=sum(view.memory.bits or 0 for view in views),
        memories=len(views),
        unknown=len(views) - len(counted),
        planned=sum(view.memory.planned for view in views),
        planned_blocks=_added(blocks for _, blocks in planned),
    )


def _fill(counted: Sequence[tuple[MemoryView, Fraction]]) -> Fraction | None:
    """Each memory's fill, weighted by its blocks."""
    blocks = _added(one for _, one in counted)
    fills = [
        None if view.placement is None or view.placement.fill is None else view.placement.fill * one
        for view, one in counted
    ]
    known = [one for one in fills if one is not None]
    return _added(known) / blocks if blocks and len(known) == len(fills) else None


def _outside(tier: Tier, views: Sequence[MemoryView], device: Device) -> ExternalSum:
    external = tier.external
    kept = [bits for view in views if (bits := external_bits(view)) is not None]
    rates = [_peak(view, device) for view in views]
    known = [rate for rate in rates if rate is not None]
    return ExternalSum(
        tier=tier.name,
        bits=sum(kept),
        capacity_bits=external.capacity_bits if external else None,
        bandwidth_gbit_s=external.bandwidth_gbit_s if external else None,
        peak_gbit_s=_added(known) if len(known) == len(rates) else None,
        memories=len(views),
        unknown=len(views) - len(kept),
    )


def _peak(view: MemoryView, device: Device) -> Fraction | None:
    demand, placement = view.demand, view.placement
    if demand is None or placement is None or placement.word is None or device.target_mhz is None:
        return None
    ports = demand.writes + demand.reads + demand.readwrites
    return Fraction(str(device.target_mhz)) * ports * placement.word * demand.banks / 1000


def _scarcest(tiers: Iterable[TierSum], device: Device) -> Fraction:
    """The largest share that these sums take of any tier."""
    shares = [Fraction(0)]
    for one in tiers:
        tier = device.tier(one.tier)
        if tier is not None and tier.blocks:
            shares.append(one.blocks / tier.blocks)
    return max(shares)


def _added(blocks: Iterable[Fraction]) -> Fraction:
    return sum(blocks, Fraction(0))
