"""What is said of arrays that are accessed, or stored, in another unit. Expected values worked by hand."""

from __future__ import annotations

import pytest
from corpus import described
from snippets import design_of

VIEWER = """
module viewer (input logic clk, input logic [5:0] at, input logic [7:0] words [64], output logic [7:0] q);
  always_ff @(posedge clk) q <= words[at];
endmodule
"""
STORE = """
module store (input logic clk, we, input logic [5:0] at, input logic [7:0] d, output logic [7:0] words [64]);
  always_ff @(posedge clk) if (we) words[at] <= d;
endmodule
"""


def reasons(text: str) -> dict[str, str]:
    return {one.path: one.reason for one in design_of(text).not_memories}


@pytest.mark.parametrize(
    ("declared", "connected", "path"),
    [
        ("logic [7:0] m [64];", "m", "top.m"),
        ("logic [7:0] m [4][64];", "m[2]", "top.m[2]"),
        ("typedef struct { logic [7:0] m [64]; logic v; } t; t s;", "s.m", "top.s.m"),
    ],
)
def test_an_input_port_names_the_array_above(declared: str, connected: str, path: str) -> None:
    text = f"""{VIEWER}
    module top (input logic clk, input logic [5:0] at, output logic [7:0] q);
      {declared}
      viewer u_view (.clk(clk), .at(at), .words({connected}), .q(q));
    endmodule
    """
    assert reasons(text)["top.u_view.words"] == f"it is an input port: the array is `{path}`"


def test_an_input_of_the_top_is_stored_outside() -> None:
    text = VIEWER.replace("module viewer", "module top")
    assert reasons(text) == {"top.words": "it is an input port: what stores it stands outside the design"}


def test_wires_name_the_outputs_that_drive_them() -> None:
    text = f"""{STORE}
    module top (input logic clk, we, input logic [5:0] at, input logic [7:0] d, output logic [7:0] q);
      logic [7:0] words [64];
      store u_store (.*);
      always_ff @(posedge clk) q <= words[at];
    endmodule
    """
    assert reasons(text)["top.words"].endswith("outputs of instances drive it (`u_store.words`)")
    assert described(design_of(text)) == {
        "top.u_store.words": "64x8 banks=1 ports=1rw clocks=top.clk read=synchronous"
    }


def test_a_choice_between_outputs_stands_between_word_and_register() -> None:
    text = f"""{STORE}
    module top (input logic clk, we, c, input logic [5:0] at, b, input logic [7:0] d, output logic [7:0] q);
      logic [7:0] words [2][64];
      for (genvar i = 0; i < 2; i++) begin : g
        store u_store (.clk(clk), .we(we), .at(at), .d(d), .words(words[i]));
      end
      always_ff @(posedge clk) q <= words[c][b];
    endmodule
    """
    assert described(design_of(text)) == {
        f"top.g[{i}].u_store.words": "64x8 banks=1 ports=1w1r clocks=top.clk read=asynchronous"
        for i in range(2)
    }


def test_what_a_test_bench_looks_at_is_no_port() -> None:
    store = """
    module store (input logic clk, input logic [5:0] at, input logic [7:0] d, output logic [7:0] q);
      logic [7:0] words [64];
      always_ff @(posedge clk) begin words[at] <= d; q <= words[at]; end
    endmodule
    """
    bench = """
    module top;
      logic clk; logic [5:0] at; logic [7:0] d, q, seen;
      store u_store (.*);
      always @(posedge clk) seen <= u_store.words[at + 1];
    endmodule
    """
    assert described(design_of(store + bench)) == {
        "top.u_store.words": "64x8 banks=1 ports=1rw clocks=top.clk read=synchronous"
    }


def test_two_instances_of_one_unit_write_at_two_addresses() -> None:
    text = """
    interface table_if (input logic clk); logic [7:0] levels [32]; endinterface
    module loader (table_if bus, input logic [4:0] at, input logic [7:0] d);
      always_ff @(posedge bus.clk) bus.levels[at] <= d;
    endmodule
    module top (input logic clk, input logic [4:0] a, b, input logic [7:0] d, output logic [7:0] q);
      table_if u_bus (.clk(clk));
      loader u_first (.bus(u_bus), .at(a), .d(d));
      loader u_second (.bus(u_bus), .at(b), .d(d));
      always_ff @(posedge clk) q <= u_bus.levels[b];
    endmodule
    """
    # The read shares the address of the second write, and so its port.
    assert described(design_of(text)) == {
        "top.u_bus.levels": "32x8 banks=1 ports=1w1rw clocks=top.clk read=synchronous"
    }


def test_an_object_of_an_unknown_type_is_listed_where_it_may_be_an_array() -> None:
    text = """
    module top (input logic clk, input logic [4:0] at, input logic [7:0] d, output logic [7:0] q, r);
      vendor_pkg::words_t words;
      vendor_pkg::flag_t flag;
      always_ff @(posedge clk) begin words[at] <= d; q <= words[at]; flag <= d; end
    endmodule
    """
    (array,) = design_of(text).not_memories
    assert (array.path, array.depth, array.width) == ("top.words", None, None)
    assert array.reason == (
        "whether it is an array is not known: the package `vendor_pkg` is not among the sources"
    )
