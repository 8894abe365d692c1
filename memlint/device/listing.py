"""Every fact of a device as key and value, unknown ones included: what a person checks against a sheet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TypeAlias

from memlint.device.facts import BlockShape, Device, External, HardEcc, Mode, Source, Tier
from memlint.device.origins import sources_of

Value: TypeAlias = str | bool | int | float | list[list[int | float]] | list[list[int]] | list[str] | None
"""None is unknown; the text `none` says that the device has no such thing."""

_Stated: TypeAlias = tuple[str, Value]


@dataclass(frozen=True, slots=True)
class Fact:
    """A fact under its key in the profile, and the sources that document it.

    `is_stated` is False for an unknown fact, and for one that follows from being left out.
    """

    key: str
    value: Value
    sources: tuple[Source, ...]
    is_stated: bool


def facts_of(device: Device) -> tuple[Fact, ...]:
    """The device's facts, in the profile's order. A fact that is not stated has no sources."""
    stated: list[_Stated] = [("device.target_mhz", device.target_mhz), ("device.mux_ways", device.mux_ways)]
    for tier in device.tiers:
        stated += [(f"tier.{tier.name}.{key}", value) for key, value in _tier(tier)]
    keys = {key for key, _ in device.stated_as}
    return tuple(
        # An empty list that the profile states says that there is none.
        Fact(key, "none" if value is None and key in keys else value, sources_of(device, key), key in keys)
        for key, value in stated
    )


def _tier(tier: Tier) -> Iterator[_Stated]:
    yield "role", tier.role
    if tier.role == "external":
        external = tier.external or External()
        yield "external.capacity_bits", external.capacity_bits
        yield "external.bandwidth_gbit_s", external.bandwidth_gbit_s
        return
    yield "block_bits", tier.block_bits
    yield "blocks", tier.blocks
    yield "splits", tier.splits
    yield "clocks", tier.clocks
    yield "read", tier.read
    yield "read_latency", tier.read_latency
    yield "output_registers", tier.output_registers
    yield "initial_contents", tier.initial_contents
    yield "hard_fifo", tier.hard_fifo
    yield "unequal_port_widths", tier.unequal_port_widths
    for mode in tier.modes:
        yield from ((f"modes.{mode.name}.{key}", value) for key, value in _mode(tier, mode))
    if not tier.ecc:
        yield "ecc", _absent(tier, "ecc")
    for ecc in tier.ecc:
        yield from ((f"ecc.{ecc.mode}.{key}", value) for key, value in _ecc(ecc))
    yield from _chain(tier)
    yield "idle_uw", tier.idle_uw
    yield "asleep_uw", tier.asleep_uw
    yield "active_uw_per_mhz", tier.active_uw_per_mhz


def _mode(tier: Tier, mode: Mode) -> Iterator[_Stated]:
    yield "shapes", _shapes(mode.shapes)
    if tier.splits > 1:
        yield "half_shapes", [[shape.depth, shape.width] for shape in mode.half_shapes] or None
    if mode.half_shapes:
        yield "pair", mode.pair
    if mode.name in ("simple_dual", "rom"):
        yield "reads", mode.reads
    if mode.clocks is not None:
        yield "clocks", mode.clocks
    if mode.name == "rom":
        return
    yield "enables", [[word, granule] for word, granule in mode.enables] or _absent(tier, "enables")
    yield "same_address", list(mode.same_address) or None
    if mode.name != "single" and tier.unequal_port_widths:
        yield "width_groups", [list(group) for group in mode.width_groups] or None
        yield "max_ratio", mode.max_ratio


def _ecc(ecc: HardEcc) -> Iterator[_Stated]:
    yield "shapes", _shapes(ecc.shapes)
    yield "data", ecc.data
    yield "check", ecc.check
    yield "lanes", ecc.lanes
    yield "extra_latency", ecc.extra_latency


def _chain(tier: Tier) -> Iterator[_Stated]:
    if tier.chain is None:
        yield "chain", _absent(tier, "chain")
        return
    yield "chain.longest", tier.chain.longest
    yield "chain.register_every", tier.chain.register_every
    yield "chain.modes", list(tier.chain.modes) or "all"
    yield "columns", [[column.blocks, column.count] for column in tier.columns] or None


def _shapes(shapes: Iterable[BlockShape]) -> list[list[int | float]] | None:
    listed: list[list[int | float]] = [
        [shape.depth, shape.width] if shape.cost == 1 else [shape.depth, shape.width, float(shape.cost)]
        for shape in shapes
    ]
    return listed or None


def _absent(tier: Tier, fact: str) -> str | None:
    return None if fact in tier.unknown else "none"
