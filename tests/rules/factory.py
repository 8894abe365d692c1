"""Memories, placements and a tiny device made by hand, so that each rule is tested on known numbers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any

from memlint.design.memory import Access, BoundClause, BoundIntent, Clock, Memory, MemoryPort
from memlint.device.facts import BlockShape, Chain, Column, Device, HardEcc, Mode, Tier
from memlint.mapping.demand import Cut, Demand, Obstacle, Placement
from memlint.reading.intent.clauses import Accept, Clause, In, Intent
from memlint.rules.finding import Finding
from memlint.rules.view import DesignView, MemoryView
from memlint.text.source import Span

FILE = "rtl/belt.sv"


def at(start: int, length: int = 4) -> Span:
    return Span(FILE, start, start + length)


BULK = Tier(
    name="bulk",
    role="bulk",
    block_bits=327_680,
    blocks=96,
    clocks="one",
    read="synchronous",
    read_latency=1,
    initial_contents="none",
    hard_fifo=False,
    unequal_port_widths=False,
    modes=(
        Mode("single", (BlockShape(8192, 40),), same_address=("before",)),
        Mode("simple_dual", (BlockShape(8192, 40),), same_address=("before",)),
        Mode("true_dual", (BlockShape(8192, 40),), same_address=("undefined",)),
    ),
    ecc=(HardEcc("simple_dual", (BlockShape(8192, 40),), data=33, check=7, lanes=False),),
    chain=Chain(longest=16, register_every=4),
    columns=(Column(16, 6),),
)
BLOCK = Tier(
    name="block",
    role="block",
    block_bits=20_480,
    blocks=200,
    splits=2,
    clocks="any",
    read="synchronous",
    read_latency=1,
    initial_contents="any",
    hard_fifo=True,
    unequal_port_widths=True,
    modes=(
        Mode("simple_dual", (BlockShape(2048, 10), BlockShape(512, 40)), same_address=("before", "after")),
    ),
)
FABRIC = Tier(
    name="fabric",
    role="fabric",
    block_bits=640,
    blocks=1000,
    clocks="any",
    read="asynchronous",
    read_latency=0,
    initial_contents="any",
    hard_fifo=False,
    unequal_port_widths=False,
    modes=(Mode("simple_dual", (BlockShape(64, 10),)),),
)
OUTSIDE = Tier(name="chip", role="external")
DEVICE = Device(name="tiny", title="A tiny device for tests", tiers=(FABRIC, BLOCK, BULK, OUTSIDE))

CLK = Clock("sorter.clk", span=at(10))
PIXEL = Clock("sorter.camera.pixel_clk", span=at(20))


def write_port(clock: Clock | None = CLK, address: str = "wa", place: int = 200) -> MemoryPort:
    return MemoryPort(True, False, clock, (Access("write", at(place), address, clock),))


def read_port(clock: Clock | None = CLK, address: str = "ra", place: int = 220) -> MemoryPort:
    return MemoryPort(False, True, clock, (Access("read", at(place), address, clock),))


def both_port(clock: Clock | None = CLK, address: str = "a", place: int = 240) -> MemoryPort:
    accesses = (Access("write", at(place), address, clock), Access("read", at(place + 5), address, clock))
    return MemoryPort(True, True, clock, accesses)


def memory(depth: int | None = 8192, width: int | None = 40, **changes: Any) -> Memory:
    """A memory of 1w 1r on one clock, changed as asked."""
    base = Memory(
        path="sorter.belt.line",
        unit="belt",
        name="line",
        language="systemverilog",
        span=at(100),
        statement=at(90, 20),
        depth=depth,
        width=width,
        ports=(write_port(), read_port()),
        clocks=(CLK,),
        read="synchronous",
    )
    return replace(base, **changes)


def bound(*clauses: Clause, level: int = 3, clocks: Mapping[str, Clock | None] | None = None) -> BoundIntent:
    intent = Intent(clauses, span=at(50, 30))
    return BoundIntent(intent, "sorter.belt", level, "declaration", tuple((clocks or {}).items()))


def inside(*tiers: str) -> In:
    """An `in` clause with a span for each tier."""
    spans = tuple(at(53 + 10 * index, len(tier)) for index, tier in enumerate(tiers))
    return In(tiers, tier_spans=spans, span=at(50, 10 * len(tiers)))


def placement(
    tier: str = "bulk", blocks: Fraction | int | None = 1, fill: Fraction | None = None, **more: Any
) -> Placement:
    values: dict[str, Any] = {
        "mode": "simple_dual",
        "copies": 1,
        "fits": True,
        "uniform_blocks": None if blocks is None else Fraction(blocks),
        **more,
    }
    return Placement(tier=tier, blocks=None if blocks is None else Fraction(blocks), fill=fill, **values)


def refused(tier: str, kind: str, text: str, **more: Any) -> Placement:
    """A placement that an obstacle of this kind forbids, its counts as if it were mended."""
    return placement(tier, fits=False, obstacles=(Obstacle(kind, text),), **more)


def view(
    one: Memory | None = None,
    tier: Tier | None = BULK,
    *,
    tier_from: str | None = "intent",
    here: Placement | None = None,
    others: Iterable[Placement] = (),
    intent: BoundIntent | None = None,
    thresholds: Mapping[str, float] | None = None,
    device: Device = DEVICE,
    **more: Any,
) -> MemoryView:
    """A memory on its tier; `here` is its placement there, `others` those elsewhere (else: not taken)."""
    subject = memory() if one is None else one
    known = {other.tier: other for other in others}
    if intent is not None:
        subject = replace(subject, intents=(intent,))
    clauses = () if intent is None else tuple(BoundClause(clause, intent) for clause in intent.intent.clauses)
    demand = None
    if subject.depth is not None and subject.width is not None:
        demand = Demand(subject.depth, subject.width, subject.banks, clocks=len(subject.clocks))

    def place(where: Tier) -> Placement:
        return known.get(where.name, refused(where.name, "ports", "not in this test"))

    return MemoryView(
        memory=subject,
        device=device,
        tier=tier,
        tier_from=tier_from,
        clauses=tuple(one for one in clauses if not isinstance(one.clause, Accept)),
        accepts=tuple(one for one in clauses if isinstance(one.clause, Accept)),
        demand=demand,
        placement=here,
        place=place,
        thresholds=thresholds or {},
        **more,
    )


def design(*memories: MemoryView, device: Device = DEVICE, **more: Any) -> DesignView:
    values: dict[str, Any] = {"not_memories": (), "missing": (), "roots": ("sorter",), **more}
    return DesignView(device=device, memories=memories, **values)


def only(findings: Iterable[Finding]) -> Finding:
    """The one finding there must be."""
    found = list(findings)
    assert len(found) == 1, found
    return found[0]


def texts(finding: Finding) -> list[str]:
    return [related.message for related in finding.related]


def cut(blocks: int, shape: tuple[int, int] = (8192, 40)) -> Cut:
    return Cut(0, blocks * shape[0], 0, shape[1], shape, Fraction(blocks))
