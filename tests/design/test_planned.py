"""A `plan` is a memory before its RTL exists (design.md, section 2)."""

from __future__ import annotations

import pytest

from memlint.engine import check_text
from memlint.rules.view import MemoryView


def planned(intent: str) -> MemoryView:
    (view,) = check_text(f"module tray (input logic clk);\n//@mem {intent}\nendmodule\n").memories
    return view


def test_it_is_counted_on_the_tier_it_names() -> None:
    view = planned("plan pictures; in bulk; shape 32K x 40; ports 1w 1r; one clock")
    assert view.memory.path == "tray.pictures" and view.memory.planned
    # 32 K words of 40 bits are four blocks of 8,192 x 40 on the demo device.
    assert view.placement is not None and view.placement.blocks == 4


def test_times_multiplies_it() -> None:
    view = planned("plan pictures; times 3; in bulk; shape 8K x 40; one clock")
    assert view.placement is not None and view.placement.blocks == 3


@pytest.mark.parametrize(
    ("holds", "shape"),
    [
        # Ethernet's longest tagged frame is 1,522 octets (IEEE Std 802.3).
        ("64 x 1522 byte", (64 * 1522, 8)),
        # A UHD line is 3,840 pixels (Rec. ITU-R BT.2020).
        ("12 lines x 3840 x 30 bit", (12 * 3840, 30)),
    ],
)
def test_a_quantity_gives_words_of_its_unit(holds: str, shape: tuple[int, int]) -> None:
    memory = planned(f"plan store; holds {holds}").memory
    assert (memory.depth, memory.width) == shape


def test_a_quantity_without_a_word_stays_unresolved_and_says_what_to_add() -> None:
    view = planned("plan store; in bulk; holds 2 ms at 10 Gbit/s")
    assert view.placement is None
    assert view.memory.unresolved is not None and "`shape`" in view.memory.unresolved


def test_one_for_each_instance_of_its_unit() -> None:
    text = """
    module lane; /* @mem plan log; shape 1K x 8 */ endmodule
    module top; lane u_a (); lane u_b (); endmodule
    """
    assert [view.memory.path for view in check_text(text).memories] == ["top.u_a.log", "top.u_b.log"]
