"""A device as the rest of memlint sees it: frozen data, every unknown fact None.

Read from TOML by `memlint.device.profile`; this module imports no parser and no pydantic.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class BlockShape:
    """A shape one block (or half) can take: words, bits a word, and the blocks it costs."""

    depth: int
    width: int
    cost: Fraction = Fraction(1)


@dataclass(frozen=True, slots=True)
class Mode:
    """One mode of a tier: `single`, `simple_dual`, `true_dual` or `rom`.

    `enables` are (word width, granule) pairs; empty means no write enables in this mode.
    Empty `shapes` mean the device has the mode but nobody says in which shapes.
    `half_shapes` are the shapes of one part where the tier splits; their cost is 1/splits.
    `pair` tells whose halves may share a block: `any`, `same memory` or None (unknown).
    `clocks` is `one`, `any` or None (the tier's own). `reads` are read ports beside the write port.
    """

    name: str
    shapes: tuple[BlockShape, ...]
    half_shapes: tuple[BlockShape, ...] = ()
    pair: str | None = None
    enables: tuple[tuple[int, int], ...] = ()
    same_address: tuple[str, ...] = ()
    reads: int = 1
    clocks: str | None = None
    width_groups: tuple[tuple[int, ...], ...] = ()
    max_ratio: int | None = None


@dataclass(frozen=True, slots=True)
class HardEcc:
    """Hardened ECC of one mode: data and check bits of a code word, the shapes it works in.

    `data` or `check` None: the device has ECC here, its word is not documented.
    """

    mode: str
    shapes: tuple[BlockShape, ...]
    data: int | None
    check: int | None
    lanes: bool | None = None
    extra_latency: int | None = None


@dataclass(frozen=True, slots=True)
class Chain:
    """Hardened depth chain: longest in blocks, a pipeline register each so many, modes (empty = all)."""

    longest: int | None
    register_every: int | None
    modes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Column:
    """`count` columns, each of `blocks` blocks a chain can pass without a break."""

    blocks: int
    count: int


@dataclass(frozen=True, slots=True)
class External:
    capacity_bits: int | None = None
    bandwidth_gbit_s: float | None = None


@dataclass(frozen=True, slots=True)
class Tier:
    """One kind of storage. None means the profile does not say.

    role: `fabric`, `block`, `bulk`, `external`, or `registers` for the implicit tier.
    read: `synchronous`, `asynchronous` or None. clocks: `one`, `any` or None.
    initial_contents: `any`, `zero`, `none` or None. Power figures in µW and µW per MHz per block.
    unknown: of `chain`, `ecc` and `enables`, those whose absence means "not documented", not "none".
    """

    name: str
    role: str
    title: str = ""
    block_bits: int | None = None
    blocks: int | None = None
    splits: int = 1
    clocks: str | None = None
    read: str | None = None
    read_latency: int | None = None
    output_registers: int | None = None
    initial_contents: str | None = None
    hard_fifo: bool | None = None
    unequal_port_widths: bool | None = None
    modes: tuple[Mode, ...] = ()
    ecc: tuple[HardEcc, ...] = ()
    chain: Chain | None = None
    columns: tuple[Column, ...] = ()
    external: External | None = None
    idle_uw: float | None = None
    asleep_uw: float | None = None
    active_uw_per_mhz: float | None = None
    unknown: tuple[str, ...] = ()

    def mode(self, name: str) -> Mode | None:
        """The mode of that name, or None."""
        return next((mode for mode in self.modes if mode.name == name), None)


@dataclass(frozen=True, slots=True)
class Source:
    """A document facts come from; `facts` are key patterns."""

    id: str
    title: str
    number: str = ""
    revision: str = ""
    where: str = ""
    facts: tuple[str, ...] = ()


REGISTERS = Tier(
    name="registers",
    role="registers",
    title="flip-flops",
    splits=1,
    clocks="any",
    read="asynchronous",
    read_latency=0,
    initial_contents="any",
    hard_fifo=False,
    unequal_port_widths=True,
)
"""The implicit tier of every device: any ports, clocks, reset and read style, one flip-flop a bit."""


@dataclass(frozen=True, slots=True)
class Device:
    """A device: its tiers (without `registers`), in the profile's order.

    `members` are the names of a family file's devices; `family` is set on such a member.
    `files` are all files the profile was read from, its own first.
    `stated_as` holds every fact the profile states, by its key, and the key it is documented under: its
    own, a member's for counts of a family member, or "" when an extending file states it and names no source.
    """

    name: str
    title: str
    tiers: tuple[Tier, ...]
    target_mhz: float | None = None
    mux_ways: int | None = None
    sources: tuple[Source, ...] = ()
    family: str = ""
    file: str = field(default="", compare=False)
    files: tuple[str, ...] = field(default=(), compare=False)
    members: tuple[str, ...] = ()
    stated_as: tuple[tuple[str, str], ...] = ()

    def tier(self, name: str) -> Tier | None:
        """The tier of that name; `registers` is always there."""
        if name == REGISTERS.name:
            return REGISTERS
        return next((tier for tier in self.tiers if tier.name == name), None)

    def on_chip(self) -> tuple[Tier, ...]:
        """The tiers on the device, in the profile's order, `registers` last."""
        return (*(tier for tier in self.tiers if tier.role != "external"), REGISTERS)

    def first_of_role(self, role: str) -> Tier | None:
        """The first tier with that role, or None."""
        return next((tier for tier in self.tiers if tier.role == role), None)
