"""Devices and demands for the mapping tests, built from facts alone."""

from __future__ import annotations

from fractions import Fraction

from memlint.device.facts import BlockShape, Chain, Column, Device, HardEcc, Mode, Tier
from memlint.mapping.demand import Demand, Placement
from memlint.mapping.place import place


def shapes(*listed: tuple[int, ...]) -> tuple[BlockShape, ...]:
    """(depth, width) or (depth, width, cost) as block shapes."""
    return tuple(
        BlockShape(one[0], one[1], Fraction(one[2]) if len(one) > 2 else Fraction(1)) for one in listed
    )


def mode(name: str, *listed: tuple[int, ...], halves: tuple[tuple[int, int], ...] = (), **facts) -> Mode:
    half_shapes = tuple(BlockShape(depth, width, Fraction(1, 2)) for depth, width in halves)
    return Mode(name, shapes(*listed), half_shapes=half_shapes, **facts)


def tier(name: str, *modes: Mode, role: str = "block", **facts) -> Tier:
    known = {"clocks": "any", "read": "synchronous", "read_latency": 1, "initial_contents": "any"}
    return Tier(name, role, modes=modes, **{**known, **facts})


def device(*tiers: Tier, mux_ways: int | None = 4, target_mhz: float | None = 200) -> Device:
    return Device("bench", "a device of the tests", tiers, target_mhz, mux_ways)


BULK = tier(
    "bulk",
    mode("single", (8192, 40), enables=((40, 10),)),
    mode("simple_dual", (8192, 40)),
    mode("true_dual", (8192, 40), clocks="one"),
    role="bulk",
    block_bits=327680,
    blocks=96,
    clocks="one",
    initial_contents="none",
    unequal_port_widths=False,
    output_registers=1,
    ecc=(HardEcc("simple_dual", shapes((8192, 40)), 33, 7, lanes=False, extra_latency=1),),
    chain=Chain(16, 4, ("single", "simple_dual")),
    columns=(Column(16, 6),),
    idle_uw=40.0,
    asleep_uw=4.0,
    active_uw_per_mhz=0.9,
)

SIMPLE = [(8192, 3), (4096, 6), (2048, 12), (1024, 24), (512, 48)]
HALVES = ((4096, 3), (2048, 6), (1024, 12), (512, 24))

BLOCK = tier(
    "block",
    mode("single", *SIMPLE, halves=HALVES, pair="any", enables=((24, 12), (48, 12))),
    mode(
        "simple_dual", *SIMPLE, halves=HALVES, pair="any", enables=((24, 12), (48, 12)),
        width_groups=((3, 6, 12, 24, 48),), max_ratio=16,
    ),
    mode("true_dual", *SIMPLE[:4], enables=((24, 12),), width_groups=((3, 6, 12, 24),), max_ratio=8),
    mode("rom", *SIMPLE, halves=HALVES, pair="any"),
    block_bits=24576,
    blocks=220,
    splits=2,
    unequal_port_widths=True,
)  # fmt: skip

FABRIC = tier(
    "fabric",
    mode("single", (64, 6), (32, 12)),
    mode("simple_dual", (64, 6), (32, 12)),
    mode("rom", (64, 6), (32, 12)),
    role="fabric",
    block_bits=384,
    blocks=2400,
    read="asynchronous",
    read_latency=0,
    unequal_port_widths=False,
)

SORTER = device(FABRIC, BLOCK, BULK)


def on(
    where: Tier, depth: int, width: int, prefer: str = "blocks", on_device: Device = SORTER, **needs
) -> Placement:
    """Place a depth x width memory with one write and one read port, unless `needs` says otherwise."""
    return place(Demand(depth, width, **needs), where, on_device, prefer)


def only(*listed: tuple[int, ...], name: str = "simple_dual", **facts) -> Tier:
    """A tier with one mode of these shapes; the bits of a block are those of its largest shape."""
    bits = max(one[0] * one[1] for one in listed)
    return tier("block", mode(name, *listed, **facts), block_bits=bits)
