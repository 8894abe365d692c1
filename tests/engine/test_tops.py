"""What counts when a top is named: its hierarchy; of other units only their intents."""

from __future__ import annotations

import pytest

from memlint.engine import Engine
from memlint.engine.settings import ProjectError, Settings

STORE = """
module tray_store (
    input  logic        clk, we,
    input  logic [5:0]  a,
    input  logic [511:0] d,
    output logic [511:0] q
);
    //@mem in bulk; shape 32 x 512
    logic [511:0] trays [64];
    always_ff @(posedge clk) begin
        if (we) trays[a] <= d;
        q <= trays[a];
    end
endmodule
"""
TOP = """
module sorter (input logic clk, output logic q);
    always_ff @(posedge clk) q <= !q;
endmodule
"""


def engine(*tops: str) -> Engine:
    settings = Settings(root="/nonexistent", sources=("a.sv", "b.sv"), top=tops)
    return Engine(settings, {"a.sv": STORE, "b.sv": TOP})


def test_without_a_top_every_unit_nobody_instantiates_is_a_root() -> None:
    judged = engine().judge()
    assert judged.roots == ("tray_store", "sorter")
    assert {one.rule for one in judged.findings} == {"shape-drift", "shallow-wide"}


def test_outside_the_top_only_intents_are_checked() -> None:
    judged = engine("sorter").judge()
    assert judged.roots == ("sorter",)
    assert judged.memories == ()
    assert [one.rule for one in judged.findings] == ["shape-drift"]


def test_an_unknown_top_is_an_error_that_names_its_neighbours() -> None:
    with pytest.raises(ProjectError, match=r"nearest units are sorter"):
        engine("sorted").judge()
