"""Judgements made by hand, so that each output is tested on known numbers and places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from memlint.design.memory import Access, Clock, Memory, MemoryPort, NotMemory
from memlint.device.facts import REGISTERS, BlockShape, Chain, Device, External, Mode, Tier
from memlint.engine.judgement import Judgement, TierTotal
from memlint.mapping.demand import Demand, Placement
from memlint.rules.finding import Finding, Related, Severity
from memlint.rules.view import MemoryView, MissingUnit
from memlint.text.source import SourceText, Span

FILE = "rtl/ejector.sv"
TEXT = """\
module ejector (input logic clk);
\tparameter int VALVES = 128;
    logic [VALVES-1:0] due [0:63]; // one bit a valve
endmodule
"""
BULK = Tier(
    "bulk",
    "bulk",
    block_bits=327_680,
    blocks=96,
    chain=Chain(longest=16, register_every=4),
    modes=(Mode("simple_dual", (BlockShape(8192, 40),)),),
)
BLOCK = Tier("block", "block", block_bits=20_480, blocks=220, splits=2)
UNDOCUMENTED = Tier("attic", "block", unknown=("chain",))
OUTSIDE = Tier("external", "external", external=External(capacity_bits=2**30))
DEVICE = Device("sorter-m", "demo", (BLOCK, BULK, UNDOCUMENTED, OUTSIDE))
CLK = Clock("sorter_top.clk")
PIXEL = Clock("sorter_top.cam_clk[0]")


def span_of(words: str, text: str = TEXT, file: str = FILE) -> Span:
    """Where these words stand first."""
    start = text.index(words)
    return Span(file, start, start + len(words))


def finding(severity: Severity = Severity.WARNING, **changes: Any) -> Finding:
    base = Finding(
        rule="shallow-wide",
        severity=severity,
        message="`due` (64 x 128) takes 4 blocks of `bulk`",
        span=span_of("due"),
        paths=("sorter_top.u_ejector.due",),
        related=(Related(span_of("VALVES = 128"), "`VALVES` is 128"),),
        numbers=(("depth", 64), ("blocks", Fraction(4)), ("fill", Fraction(1, 160)), ("tier", "bulk")),
        help=("in block: 2 blocks", "or make it deeper"),
    )
    return replace(base, **changes)


def port(*, writes: bool, reads: bool, clock: Clock | None = CLK) -> MemoryPort:
    access = Access("write" if writes else "read", span_of("due"), "wa" if writes else "ra", clock)
    return MemoryPort(writes, reads, clock, (access,))


def memory(**changes: Any) -> Memory:
    base = Memory(
        path="sorter_top.u_ejector.due",
        unit="ejector",
        name="due",
        language="systemverilog",
        span=span_of("due"),
        statement=span_of("logic [VALVES-1:0] due [0:63];"),
        depth=64,
        width=128,
        ports=(port(writes=True, reads=False), port(writes=False, reads=True)),
        clocks=(CLK,),
        read="synchronous",
    )
    return replace(base, **changes)


def placement(**changes: Any) -> Placement:
    base = Placement(
        tier="bulk",
        fits=True,
        mode="simple_dual",
        copies=1,
        blocks=Fraction(4),
        uniform_blocks=Fraction(4),
        lower_bound=Fraction(1),
        fill=Fraction(1, 160),
        chain=1,
        chains=0,
        split=1,
        ways=1,
        read_latency=1,
        output_registers=1,
        because=("4 of 8192 x 40 side by side",),
    )
    return replace(base, **changes)


def view(
    one: Memory | None = None,
    tier: Tier | None = BULK,
    here: Placement | None = None,
    tier_from: str | None = "intent",
) -> MemoryView:
    subject = memory() if one is None else one
    demand = Demand(subject.depth, subject.width) if subject.depth and subject.width else None

    def place(where: Tier) -> Placement:
        return Placement(where.name, fits=False)

    return MemoryView(subject, DEVICE, tier, tier_from, (), (), demand, here, place)


def judgement(
    *views: MemoryView, findings: Sequence[Finding] = (), text: str = TEXT, **changes: Any
) -> Judgement:
    totals = [
        TierTotal("sorter_top", "block", Fraction(0), 220, 0, 0),
        TierTotal("sorter_top", "bulk", Fraction(9, 2), 96, len(views), 0),
        TierTotal("sorter_top", REGISTERS.name, Fraction(0), None, 0, 0),
    ]
    base = Judgement(
        device=DEVICE,
        memories=tuple(views),
        not_memories=(),
        findings=tuple(findings),
        accepted=(),
        missing=(),
        roots=("sorter_top",),
        totals=tuple(totals),
        sources={FILE: SourceText(FILE, text)},
    )
    return replace(base, **changes)


def array() -> NotMemory:
    return NotMemory(
        "sorter_top.u_ejector.pulses",
        "ejector",
        "pulses",
        "systemverilog",
        span_of("due"),
        "it is an array of wires",
        128,
        1,
    )


def missing() -> MissingUnit:
    return MissingUnit("jet_driver", ("sorter_top.u_b", "sorter_top.u_a"), span_of("ejector"))
