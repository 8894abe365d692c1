"""The same memory written in Verilog, SystemVerilog and VHDL gives identical findings and counts."""

from __future__ import annotations

from pathlib import Path

import ghdl_reference
import pytest
from three_languages import Style, systemverilog, verilog, vhdl

from memlint.design.sharing import counts
from memlint.engine.engine import check_text
from memlint.engine.judgement import Judgement

STYLES = (
    Style("one clock", 1024, 36),
    Style("one port", 8192, 40, ports="1rw", intent="in bulk; shape 8K x 40; ports 1rw"),
    Style("falling edge", 512, 9, falling=True),
    Style("asynchronous", 32, 8, read="wire"),
    Style("asynchronous in bulk", 8192, 40, read="wire", intent="in bulk"),
    Style("address registered", 2048, 18, read="address"),
    Style("two clocks", 512, 40, clocks=2, intent="in block; clocks clk_a, clk_b"),
    Style("two clocks in bulk", 8192, 40, clocks=2, intent="in bulk; one clock"),
    Style("two ports, two clocks", 1024, 20, ports="2rw", clocks=2, intent="in block; ports 2rw"),
    Style("two readers", 32, 32, ports="1w2r"),
    Style("two writers", 64, 8, ports="2w1r", intent="in block"),
    Style("lanes", 8192, 32, lanes=4, intent="in bulk; write lanes 4"),
    Style("contents", 8192, 40, contents="given", intent="in bulk; initial contents"),
    Style("contents, read only", 256, 12, ports="1r", contents="given"),
    Style("zero contents", 8192, 40, contents="zero", intent="in bulk"),
    Style("cleared", 64, 12, reset="loop", intent="in block"),
    Style("word cleared", 64, 12, reset="word"),
    Style("banks", 512, 24, banks=4, intent="in block"),
    Style("wrapped", 4096, 20, wrapped=True),
    Style("shape drift", 1000, 36, wrapped=True, intent="in block; shape 1K x 36"),
    Style("port drift", 1024, 36, ports="1w2r", intent="in block; ports 1w 1r"),
    Style("shallow and wide", 16, 512, intent="in block"),
    Style("just over", 1025, 40, intent="in block"),
    Style("small", 4, 8, intent="in block"),
    Style("holds too little", 1024, 30, intent="in block; holds 2 lines x 1024 x 30 bit"),
    Style("bad intent", 1024, 36, intent="in block; shape 1K by 36"),
)
IDS = [style.name for style in STYLES]
LANGUAGES = {"sorter.v": verilog, "sorter.sv": systemverilog, "sorter.vhd": vhdl}


def judged(style: Style) -> dict[str, Judgement]:
    return {file: check_text(write(style), file) for file, write in LANGUAGES.items()}


def memories(judgement: Judgement) -> list[tuple[object, ...]]:
    """What is counted of each memory, the tier and the blocks it takes included."""
    found: list[tuple[object, ...]] = []
    for view in judgement.memories:
        memory = view.memory
        found.append(
            (
                memory.path,
                (memory.depth, memory.width, memory.banks),
                sorted(counts(memory.ports).items()),
                [(clock.net, clock.edge) for clock in memory.clocks],
                memory.read,
                memory.lanes,
                memory.contents,
                memory.reset is not None,
                memory.same_address,
                view.tier.name if view.tier is not None else None,
                view.tier_from,
                view.placement,
            )
        )
    return found


def findings(judgement: Judgement) -> list[tuple[object, ...]]:
    """All that a finding says, but for the place it says it of."""
    return sorted(
        (one.rule, str(one.severity), one.message, one.paths, one.numbers, one.help)
        for one in judgement.findings
    )


@pytest.mark.parametrize("style", STYLES, ids=IDS)
def test_three_languages_give_the_same_counts(style: Style) -> None:
    first, second, third = (memories(one) for one in judged(style).values())
    assert len(first) == 1
    assert first == second
    assert second == third


@pytest.mark.parametrize("style", STYLES, ids=IDS)
def test_three_languages_give_the_same_findings(style: Style) -> None:
    first, second, third = (findings(one) for one in judged(style).values())
    assert first == second
    assert second == third


def test_the_styles_are_worth_comparing() -> None:
    said = {str(one[0]) for style in STYLES for one in findings(judged(style)["sorter.vhd"])}
    # At least a rule of each family that one memory can trigger.
    assert {
        "asynchronous-read",
        "two-clocks-on-one-clock-tier",
        "shape-drift",
        "port-drift",
        "clock-drift",
        "shallow-wide",
        "no-initial-contents",
        "reset-clears-array",
        "holds-too-little",
        "intent-syntax",
    } <= said


@pytest.mark.skipif(ghdl_reference.GHDL is None, reason=ghdl_reference.REASON)
@pytest.mark.parametrize("style", STYLES, ids=IDS)
def test_the_vhdl_is_legal_and_as_large(style: Style, tmp_path: Path) -> None:
    file = tmp_path / "sorter.vhd"
    file.write_text(vhdl(style))
    ghdl_reference.analyse([file], tmp_path)
    (memory,) = [view.memory for view in check_text(vhdl(style), "sorter.vhd").memories]
    reference = ghdl_reference.arrays("sorter", tmp_path)[memory.path]
    assert reference == (style.depth * style.banks, style.width)
