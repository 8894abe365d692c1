"""From the tables of a validated profile to the frozen facts the rest of memlint reads."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from memlint.device.facts import (
    BlockShape,
    Chain,
    Column,
    Device,
    External,
    HardEcc,
    Mode,
    Source,
    Tier,
)
from memlint.device.merge import Table, stated_keys

MODES = ("single", "simple_dual", "true_dual", "rom")


def to_device(
    data: Table, *, family: str, files: tuple[str, ...], documented_as: Mapping[str, str]
) -> Device:
    """The device a validated, merged profile describes."""
    head = data["device"]
    return Device(
        name=head["name"],
        title=head.get("title", ""),
        tiers=tuple(_tier(tier) for tier in data.get("tier", [])),
        target_mhz=_number(head.get("target_mhz")),
        mux_ways=head.get("mux_ways"),
        sources=tuple(_source(source) for source in data["source"]),
        family=family,
        file=files[0],
        files=files,
        members=tuple(member["name"] for member in data.get("member", [])),
        stated_as=tuple((key, documented_as.get(key, key)) for key in stated_keys(data)),
    )


def _tier(table: Table) -> Tier:
    splits = table.get("splits", 1)
    modes = table.get("modes", {})
    ecc = table.get("ecc", {})
    external = table.get("external")
    return Tier(
        name=table["name"],
        role=table["role"],
        title=table.get("title", ""),
        block_bits=table.get("block_bits"),
        blocks=table.get("blocks"),
        splits=splits,
        clocks=table.get("clocks"),
        read=table.get("read"),
        read_latency=table.get("read_latency"),
        output_registers=table.get("output_registers"),
        initial_contents=table.get("initial_contents"),
        hard_fifo=table.get("hard_fifo"),
        unequal_port_widths=table.get("unequal_port_widths"),
        modes=tuple(_mode(name, modes[name], splits) for name in MODES if name in modes),
        ecc=tuple(_ecc(name, ecc[name]) for name in MODES if name in ecc),
        chain=_chain(table["chain"]) if "chain" in table else None,
        columns=tuple(Column(column["blocks"], column["count"]) for column in table.get("columns", [])),
        external=None if external is None else _external(external),
        idle_uw=_number(table.get("idle_uw")),
        asleep_uw=_number(table.get("asleep_uw")),
        active_uw_per_mhz=_number(table.get("active_uw_per_mhz")),
        unknown=_unknown(table),
    )


def _mode(name: str, table: Table, splits: int) -> Mode:
    return Mode(
        name=name,
        shapes=_shapes(table.get("shapes", [])),
        half_shapes=tuple(
            BlockShape(depth, width, Fraction(1, splits)) for depth, width in table.get("half_shapes", [])
        ),
        pair=table.get("pair"),
        enables=tuple((word, granule) for word, granule in table.get("enables", [])),
        same_address=tuple(table.get("same_address", [])),
        reads=table.get("reads", 1),
        clocks=table.get("clocks"),
        width_groups=tuple(tuple(group) for group in table.get("width_groups", [])),
        max_ratio=table.get("max_ratio"),
    )


def _ecc(mode: str, table: Table) -> HardEcc:
    return HardEcc(
        mode=mode,
        shapes=_shapes(table.get("shapes", [])),
        data=table.get("data"),
        check=table.get("check"),
        lanes=table.get("lanes"),
        extra_latency=table.get("extra_latency"),
    )


def _chain(table: Table) -> Chain:
    return Chain(table.get("longest"), table.get("register_every"), tuple(table.get("modes", [])))


def _external(table: Table) -> External:
    return External(table.get("capacity_bits"), _number(table.get("bandwidth_gbit_s")))


def _source(table: Table) -> Source:
    return Source(
        id=table["id"],
        title=table["title"],
        number=table.get("number", ""),
        revision=table.get("revision", ""),
        where=table.get("where", ""),
        facts=tuple(table.get("facts", [])),
    )


def _unknown(table: Table) -> tuple[str, ...]:
    # A fact that an extending profile states is no longer unknown, whatever its base said.
    return tuple(name for name in table.get("unknown", []) if name not in table)


def _shapes(table: list[list[Any]]) -> tuple[BlockShape, ...]:
    # Through the decimal text: 0.1 blocks means a tenth, not the nearest binary fraction.
    return tuple(
        BlockShape(depth, width, Fraction(str(cost[0]) if cost else 1)) for depth, width, *cost in table
    )


def _number(value: float | None) -> float | None:
    return None if value is None else float(value)
