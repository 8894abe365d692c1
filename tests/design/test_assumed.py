"""What HDL alone does not settle: parameters without a value, units without source."""

from __future__ import annotations

import pytest
from snippets import design_of, only_memory

from memlint.design.black_boxes import BlackBox

LINE = """
module line_store #({parameters}) (input clk, we, input [9:0] a, input [15:0] d, output reg [15:0] q);
  {locals}
  reg [15:0] line [0:WORDS-1];
  always @(posedge clk) begin if (we) line[a] <= d; q <= line[a]; end
endmodule
module top (input clk, we, input [9:0] a, input [15:0] d, output [15:0] q);
  line_store u (clk, we, a, d, q);
endmodule
"""


@pytest.mark.parametrize(
    ("parameters", "locals", "needs"),
    [
        ("parameter int WORDS", "", "line_store.WORDS"),
        ("parameter int LOG", "localparam WORDS = 1 << LOG;", "line_store.LOG"),
        # A package that is not among the sources: the parameter that takes its value can be assumed.
        ("parameter int WORDS = camera_pkg::COLUMNS", "", "line_store.WORDS"),
        ("parameter int W = 3", "localparam int WORDS = W * camera_pkg::COLUMNS;", "line_store.WORDS"),
        # The macro is not defined, so its place in the constant is not known either.
        ("parameter int WORDS = `COLUMNS", "", "line_store.WORDS"),
    ],
)
def test_an_unresolved_shape_says_what_to_assume_and_assuming_it_settles_it(
    parameters: str, locals: str, needs: str
) -> None:
    text = LINE.format(parameters=parameters, locals=locals)
    memory = only_memory(text)
    assert memory.depth is None
    assert memory.width == 16
    assert memory.unresolved is not None
    assert f"`{needs}` under `[assume]` would settle it" in memory.unresolved
    value = 9 if needs.endswith("LOG") else 512
    assert only_memory(text, assume={needs: value}).depth == 512
    # The bare name works too, for every unit that has it.
    settled = only_memory(text, assume={needs.rpartition(".")[2]: value})
    assert (settled.depth, settled.unresolved) == (512, None)


def test_what_the_source_settles_is_not_assumed() -> None:
    text = LINE.format(parameters="parameter int WORDS = 64", locals="")
    assert only_memory(text, assume={"line_store.WORDS": 512}).depth == 64


def test_a_macro_in_a_dimension_is_named() -> None:
    text = "module top (input clk, input [3:0] a, output reg q); reg m [0:`WORDS-1];"
    text += " always @(posedge clk) begin m[a] <= q; q <= m[a]; end endmodule"
    memory = only_memory(text)
    assert memory.unresolved == "the macro `WORDS is not defined"
    assert memory.unresolved_span is not None


BOX = BlackBox("vendor_ram", "2 ** ADDR", "WIDTH", "1w 1r", ("wclk", "rclk"), "bulk")
INSTANCES = """
module top (input clk, cam_clk);
  wire c = cam_clk;
  vendor_ram #(.ADDR(10), .WIDTH(36)) u_lines (.wclk(c), .rclk(clk));
  for (genvar i = 0; i < 2; i++) begin : lane
    vendor_ram #(.ADDR(4 + i), .WIDTH(8)) u_delay (.wclk(clk), .rclk(clk));
  end
  other_unit u_other (.clk(clk));
endmodule
"""


def test_a_described_unit_is_a_memory_per_instance() -> None:
    design = design_of(INSTANCES, black_boxes=(BOX,))
    shapes = {one.path: (one.depth, one.width) for one in design.memories}
    assert shapes == {
        "top.u_lines": (1024, 36),
        "top.lane[0].u_delay": (16, 8),
        "top.lane[1].u_delay": (32, 8),
    }
    lines = next(one for one in design.memories if one.path == "top.u_lines")
    assert [(port.writes, port.reads, port.clock and port.clock.net) for port in lines.ports] == [
        (True, False, "top.cam_clk"),
        (False, True, "top.clk"),
    ]
    assert {clock.net for clock in lines.clocks} == {"top.clk", "top.cam_clk"}
    # How it reads is not said anywhere; its tier is what the description says.
    assert lines.read is None
    assert lines.attribute == "bulk"
    # It no longer counts as missing; the other unit does.
    assert [one.name for one in design.missing] == ["other_unit"]


def test_a_parameter_an_instance_does_not_set_is_named_and_can_be_assumed() -> None:
    text = "module top (input clk); vendor_ram #(.ADDR(6)) u (.wclk(clk), .rclk(clk)); endmodule"
    memory = only_memory(text, black_boxes=(BOX,))
    assert (memory.depth, memory.width) == (64, None)
    assert memory.unresolved is not None
    assert "`vendor_ram.WIDTH` under `[assume]`" in memory.unresolved
    settled = only_memory(text, black_boxes=(BOX,), assume={"vendor_ram.WIDTH": 5})
    assert (settled.depth, settled.width, settled.unresolved) == (64, 5, None)


def test_an_intent_on_the_instance_speaks_for_it() -> None:
    text = """
    module top (input clk);
      // @mem in bulk; one clock
      vendor_ram #(.ADDR(6), .WIDTH(8)) u (.wclk(clk), .rclk(clk));
    endmodule
    """
    design = design_of(text, black_boxes=(BOX,))
    (memory,) = design.memories
    assert [bound.origin for bound in memory.intents] == ["declaration"]
    assert not design.unbound


def test_a_unit_that_has_its_source_is_read_instead() -> None:
    text = INSTANCES + "module vendor_ram #(parameter ADDR = 1, WIDTH = 1) (input wclk, rclk); endmodule"
    assert not design_of(text, black_boxes=(BOX,)).memories
