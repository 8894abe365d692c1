"""`memlint list` as text."""

from __future__ import annotations

import re
from fractions import Fraction

from judgements import (
    BLOCK,
    BULK,
    CLK,
    PIXEL,
    UNDOCUMENTED,
    array,
    judgement,
    memory,
    placement,
    port,
    view,
)

from memlint.design.memory import Clock
from memlint.device.facts import REGISTERS
from memlint.engine import check_text
from memlint.reports.list_text import list_text
from memlint.reports.page import Page
from memlint.rules.view import MemoryView


def listed(*views: MemoryView, page: Page | None = None) -> str:
    return list_text(judgement(*views), views, None, page or Page())


def row(one: MemoryView) -> list[str]:
    """The cells below a memory's path, by the gaps between them."""
    lines = listed(one).splitlines()
    return re.split(r" {2,}", lines[lines.index(one.memory.path) + 1].strip())


def test_a_memory_is_its_path_and_a_row() -> None:
    one = view(here=placement(chain=16, split=2, blocks=Fraction(15, 2), fill=Fraction(1, 3)))
    assert row(one) == ["64 x 128", "1w 1r", "clk", "sync", "bulk", "7.5", "33 %", "16 in 2"]


def test_a_tier_nobody_named_is_marked_and_explained() -> None:
    text = listed(view(here=placement(), tier_from="assumed"))
    assert " bulk * " in text
    assert "\n* assumed: neither an intent nor an attribute names a tier\n" in text
    assert "* assumed" not in listed(view(here=placement()))


def test_a_tier_that_does_not_take_the_memory_is_marked() -> None:
    text = listed(view(here=placement(fits=False)))
    assert " bulk ! " in text
    assert "\n! the tier does not take it as it is" in text


def test_banks_a_rom_and_falling_edges() -> None:
    falling = Clock(CLK.net, edge="falling")
    one = memory(banks=4, ports=(port(writes=False, reads=True),), clocks=(falling,))
    cells = row(view(one, BLOCK, placement(tier="block")))
    assert cells[:3] == ["64 x 128 in 4 banks", "rom 1r", "clk falling"]
    assert cells[-1] == "-"


def test_what_is_unknown_is_a_question_mark_with_the_reason_below() -> None:
    one = memory(depth=None, read=None, clocks_known=False, unresolved="`DEPTH` has no value")
    text = listed(view(one, None, None, tier_from=None))
    assert re.search(r"\? x 128 +1w 1r +clk, \? +\? +\? +\? +\? +\?\n", text)
    assert "\n    shape unknown: `DEPTH` has no value\n" in text
    assert "\n? unknown: `memlint explain`" in text


def test_a_chain_nobody_documents_is_unknown_and_one_that_is_not_there_is_not() -> None:
    there = placement(tier="attic", chain=None)
    assert row(view(memory(), UNDOCUMENTED, there))[-1] == "?"
    assert row(view(memory(), BLOCK, placement(tier="block")))[-1] == "-"


def test_flip_flops_are_told_from_blocks() -> None:
    here = placement(tier="registers", blocks=Fraction(8192), fill=Fraction(1))
    assert row(view(memory(), REGISTERS, here))[-3:] == ["8,192 FF", "-", "-"]


def test_long_paths_are_never_cut_and_the_rest_stays_on_the_page() -> None:
    path = "sorter_top." + ".".join(f"g_camera[{number}].u_channel" for number in range(9)) + ".mem"
    clocks = tuple(Clock(f"sorter_top.u_clocking.pixel_clock_of_camera[{number}]") for number in range(3))
    text = listed(view(memory(path=path, clocks=clocks), BULK, placement()), page=Page(80))
    lines = text.splitlines()
    assert path in lines
    assert all(len(line) <= 80 for line in lines if line != path)
    assert all(clock.net.removeprefix("sorter_top.") in text for clock in clocks)


def test_clocks_of_one_memory_stand_side_by_side() -> None:
    assert row(view(memory(clocks=(PIXEL, CLK)), BULK, placement()))[2] == "cam_clk[0], clk"


def test_the_totals_close_the_list() -> None:
    text = listed(view(here=placement()))
    assert "\n1 memory on device sorter-m\n" in text
    assert "\nsorter_top\n  tier " in text


def test_arrays_that_are_no_memories_come_with_their_reason() -> None:
    judged = judgement(view(here=placement()))
    text = list_text(judged, judged.memories, [array()], Page())
    expected = "sorter_top.u_ejector.pulses (rtl/ejector.sv:3:24)\n    it is an array of wires\n"
    assert "\nArrays that are no memories\n" + expected in text


def test_a_design_without_memories_says_so() -> None:
    assert listed().startswith("No memories.\n")


BELT = """
module belt (
    input logic clk, we, input logic [8:0] wa, ra, input logic [39:0] d, output logic [39:0] q
);
    // @mem in block
    logic [39:0] rows [0:511];
    always_ff @(posedge clk) begin if (we) rows[wa] <= d; q <= rows[ra]; end
endmodule
"""


def test_a_tier_that_the_device_lacks_is_unknown_with_the_reason_below() -> None:
    judged = check_text(BELT.replace("in block", "in blocks"))
    text = list_text(judged, judged.memories, None, Page())
    assert re.search(r"\n  512 x 40 .* sync  \? +\? +\? +\?\n", text)
    assert "    tier unknown: its intent names `blocks`, which device `sorter-m` does not have\n" in text
    assert "not counted: 1 memory whose tier is unknown (`belt.rows`)" in text


def test_stated_widths_stand_where_the_ports_are() -> None:
    (one,) = check_text(BELT.replace("in block", "in block; ports 1w(40) 1r(10)")).memories
    assert row(one)[1] == "1w(40) 1r(10)"
