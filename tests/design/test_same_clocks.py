"""`[clocks] same`: nets that are declared to be one clock, named wherever their writer knows them."""

from __future__ import annotations

import pytest

from memlint.engine import Engine
from memlint.engine.settings import Settings

# A clock generator without source: to memlint its two outputs are two nets.
BELT = """\
module line (
    input  logic        pixel_clk, jet_clk, we,
    input  logic [12:0] wa, ra,
    input  logic [39:0] d,
    output logic [39:0] q
);
    logic [39:0] words [0:8191];
    always_ff @(posedge pixel_clk) if (we) words[wa] <= d;
    always_ff @(posedge jet_clk) q <= words[ra];
endmodule
module clocks (input logic ref_clk, output logic first, second);
    generator u_gen (.ref_clk, .first, .second);
endmodule
module belt (
    input  logic        ref_clk, we,
    input  logic [12:0] wa, ra,
    input  logic [39:0] d,
    output logic [39:0] q
);
    logic [1:0] clk;
    clocks u_clocks (.ref_clk, .first(clk[0]), .second(clk[1]));
    line u_line (.pixel_clk(clk[0]), .jet_clk(clk[1]), .we, .wa, .ra, .d, .q);
endmodule
"""


def clocks(*same: tuple[str, ...]) -> list[str]:
    settings = Settings(root="/nonexistent", sources=("belt.sv",), same_clocks=same)
    (view,) = Engine(settings, {"belt.sv": BELT}).judge().memories
    return sorted(clock.net for clock in view.memory.clocks)


def test_two_outputs_of_a_unit_without_source_are_two_clocks() -> None:
    assert len(clocks()) == 2


@pytest.mark.parametrize(
    "same",
    [
        ("belt.clk[0]", "belt.clk[1]"),
        ("belt.u_line.pixel_clk", "belt.u_line.jet_clk"),
        ("belt.u_clocks.first", "belt.u_clocks.second"),
        ("belt.clk[1]", "belt.u_clocks.first"),
    ],
)
def test_a_net_may_be_named_anywhere_on_its_way_and_the_first_name_is_shown(same: tuple[str, ...]) -> None:
    assert clocks(same) == [same[0]]


def test_groups_that_share_a_net_are_one() -> None:
    assert clocks(("belt.clk[0]", "belt.ref_clk"), ("belt.clk[1]", "belt.ref_clk")) == ["belt.clk[0]"]


def test_a_name_that_is_no_net_joins_nothing() -> None:
    assert len(clocks(("belt.clk[0]", "belt.clk[7]"), ("belt.u_line.nothing", "belt.clk[1]"))) == 2
