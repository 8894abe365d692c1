"""A `[[black_box]]` unit is a memory whose RTL is not there to read (design.md, section 1)."""

from __future__ import annotations

from memlint.engine import Engine
from memlint.engine.settings import BlackBox, Settings

TOP = """
module tray (input logic clk, host, output logic [35:0] q);
    vendor_ram #(.AW(11), .DW(36)) u_ram (.clka(clk), .clkb(host), .q(q));
endmodule
"""


def test_each_instance_is_a_memory_of_the_shape_and_ports_it_states() -> None:
    box = BlackBox("vendor_ram", "2**AW", "DW", "1w 1r", ("clka", "clkb"), "block")
    settings = Settings(root="/nonexistent", sources=("a.sv",), black_boxes=(box,))
    judged = Engine(settings, {"a.sv": TOP}).judge()
    (view,) = judged.memories
    memory = view.memory
    assert (memory.path, memory.depth, memory.width) == ("tray.u_ram", 2048, 36)
    assert {clock.net for clock in memory.clocks} == {"tray.clk", "tray.host"}
    assert view.tier is not None and view.tier.name == "block"
    # 2,048 x 36 is three blocks of 2048 x 12 on the demo device.
    assert view.placement is not None and view.placement.blocks == 3
    assert "unit-not-found" not in {one.rule for one in judged.findings}
