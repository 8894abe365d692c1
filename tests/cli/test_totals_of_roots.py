"""The totals where no top is named: many roots are one table, and the small ones are one line of it."""

from __future__ import annotations

from fractions import Fraction

import pytest
from judgements import DEVICE, judgement

from memlint.device.facts import REGISTERS
from memlint.engine import check_text as judge
from memlint.engine.judgement import TierTotal
from memlint.reports.page import Page
from memlint.reports.totals_of_roots import totals_of_roots
from memlint.reports.totals_text import totals


def taken(root: str, tier: str, blocks: Fraction | int, unknown: int = 0) -> tuple[str, list[TierTotal]]:
    available = {"bulk": 96, "block": 220}.get(tier)
    return root, [TierTotal(root, tier, Fraction(blocks), available, 1 + unknown, unknown)]


def table(*roots: tuple[str, list[TierTotal]], width: int = 100) -> list[str]:
    return totals_of_roots(judgement(), dict(roots), Page(width=width))


def test_the_largest_share_stands_first_beside_what_there_is() -> None:
    lines = table(
        taken("small", "block", Fraction(1, 2)), taken("large", "bulk", 3), taken("mid", "block", 2)
    )
    # Of 96 bulk blocks 3 are a 32nd; of 220 blocks 2 are a 110th and half a block a 440th.
    assert [line.split() for line in lines[:5]] == [
        ["root", "block", "bulk", "memories"],
        ["large", "3", "1"],
        ["mid", "2", "1"],
        ["small", "0.5", "1"],
        ["available", "220", "96"],
    ]


def test_the_rest_is_one_line_with_its_sums() -> None:
    roots = [taken(f"unit_{number:02}", "block", Fraction(number, 2)) for number in range(1, 43)]
    lines = table(*roots, taken("flags", REGISTERS.name, 40))
    assert len(lines) == 1 + 12 + 1 + 1 + 1
    assert lines[1].split()[0] == "unit_42"
    # The twelve largest are shown, 1 to 30 halves are left: 30 * 31 / 4 blocks.
    assert lines[-2].strip() == "and 31 more roots with 232.5 blocks of block and 40 flip-flops"
    assert "`--top UNIT`" in lines[-1]


def test_what_could_not_be_counted_is_no_number() -> None:
    lines = table(taken("belt", "bulk", 3, unknown=2), taken("other", "bulk", 0, unknown=1))
    assert lines[1].split() == ["belt", "3", "+", "?", "3"]
    assert lines[2].split() == ["other", "0", "+", "?", "2"]
    assert any("could not be counted" in line for line in lines)


@pytest.mark.parametrize("width", [32, 40, 60])
def test_a_long_name_stands_alone_and_the_figures_stay_on_the_page(width: int) -> None:
    long = "a_very_long_name_of_a_root_that_nobody_instantiates"
    lines = table(taken(long, "bulk", 3), width=width)
    assert f"  {long}" in lines or width > 70
    assert all(len(line) <= width for line in lines[:-1] if long not in line and "top" not in line)


def unit(number: int) -> str:
    return f"""
module unit_{number} (input logic clk, we, input logic [8:0] wa, ra, input logic [39:0] d,
                      output logic [39:0] q);
    logic [39:0] rows [0:511];
    always_ff @(posedge clk) begin if (we) rows[wa] <= d; q <= rows[ra]; end
    driver_{number} u_driver (.clk);
endmodule
"""


def test_three_roots_have_a_table_each_and_four_have_one() -> None:
    three, four = ("".join(unit(number) for number in range(count)) for count in (3, 4))
    each = totals(judge(three), Page())
    assert [line for line in each if line.startswith("unit_")] == ["unit_0", "unit_1", "unit_2"]
    one = totals(judge(four), Page())
    assert one[0] == "Taken by each root"
    assert sum(line.startswith("  unit_") for line in one) == 4
    assert any(
        "units without source, `driver_0` (1 instance), `driver_1` (1 instance)" in line for line in one
    )


def test_the_demo_device_of_the_table_has_the_supplies_used_above() -> None:
    assert {one.name: one.blocks for one in DEVICE.tiers if one.blocks} == {"block": 220, "bulk": 96}
