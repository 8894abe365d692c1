"""Clocks of memories: gated, inverted, derived, multiplexed, declared equal (design.md, "Clocks")."""

from __future__ import annotations

import pytest
from snippets import only_memory

from memlint.design.memory import Clock

STORE = """
module store (input wc, rc, we, input [5:0] wa, ra, input [7:0] d, output reg [7:0] q);
  reg [7:0] words [0:63];
  always @(posedge wc) if (we) words[wa] <= d;
  always @(posedge rc) q <= words[ra];
endmodule
module top (input clk, cam_clk, clk_en_i, gate, test, input [1:0] clks, input we, input [5:0] wa, ra,
            input [7:0] d, output [7:0] q);
"""


def clocks(body: str, **options: object) -> tuple[Clock, ...]:
    return only_memory(f"{STORE}{body}\nendmodule", **options).clocks


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        # A gate is a net of its own; its root is the clock it gates.
        (
            "wire g = clk & gate; store u (g, clk, we, wa, ra, d, q);",
            {("top.clk", "rising", None), ("top.g", "rising", "top.clk")},
        ),
        (
            "wire g = clk | ~gate; store u (g, g, we, wa, ra, d, q);",
            {("top.g", "rising", "top.clk")},
        ),
        # A gate built of a latch and an and, in a cell of its own, as libraries have it.
        (
            "reg en; always @* if (!clk) en = gate; wire g = clk & en; store u (g, clk, we, wa, ra, d, q);",
            {("top.clk", "rising", None), ("top.g", "rising", "top.clk")},
        ),
        # Both inputs have a clock's name; the enable is no clock.
        (
            "wire g = clk & clk_en_i; store u (g, g, we, wa, ra, d, q);",
            {("top.g", "rising", "top.clk")},
        ),
        # An inverter turns the edge; two of them do not.
        (
            "wire n = ~clk; store u (n, clk, we, wa, ra, d, q);",
            {("top.clk", "falling", None), ("top.clk", "rising", None)},
        ),
        (
            "wire n, m; not (n, clk); assign m = !n; store u (m, clk, we, wa, ra, d, q);",
            {("top.clk", "rising", None)},
        ),
        # A divided clock is a register's output: a net of its own without a root.
        (
            "reg half; always @(posedge clk) half <= ~half; store u (half, half, we, wa, ra, d, q);",
            {("top.half", "rising", None)},
        ),
        # A multiplexer ends the trace, written as a conditional or as an always block.
        (
            "wire m = test ? cam_clk : clk; store u (m, m, we, wa, ra, d, q);",
            {("top.m", "rising", None)},
        ),
        (
            "reg m; always @* if (test) m = cam_clk; else m = clk; store u (m, m, we, wa, ra, d, q);",
            {("top.m", "rising", None)},
        ),
        # A unit without source ends it too: what comes out is its own net.
        (
            "wire p; vendor_pll u_pll (.refclk(clk), .outclk(p)); store u (p, p, we, wa, ra, d, q);",
            {("top.p", "rising", None)},
        ),
        # Bits of a vector are different nets.
        (
            "store u (clks[1], clks[0], we, wa, ra, d, q);",
            {("top.clks[0]", "rising", None), ("top.clks[1]", "rising", None)},
        ),
        # A gate primitive and a buffer.
        (
            "wire b, g; buf (b, clk); and (g, b, gate); store u (g, b, we, wa, ra, d, q);",
            {("top.clk", "rising", None), ("top.g", "rising", "top.clk")},
        ),
    ],
)
def test_a_clock_is_traced_to_its_source(body: str, expected: set[tuple[str, str, str | None]]) -> None:
    assert {(one.net, one.edge, one.root) for one in clocks(body)} == expected


def test_nets_declared_equal_are_one_clock() -> None:
    body = "store u (clk, cam_clk, we, wa, ra, d, q);"
    assert len(clocks(body)) == 2
    (one,) = clocks(body, same_clocks=(("top.clk", "top.cam_clk"),))
    assert one.net == "top.clk"


READS = """
module top (input clk, we, input [5:0] wa, ra, input [7:0] d, output reg [7:0] q);
  reg [7:0] words [0:63];
  reg [5:0] at;
"""


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        # Read first, two addresses.
        ("always @(posedge clk) begin if (we) words[wa] <= d; q <= words[ra]; end", "before"),
        # The same in two processes.
        ("always @(posedge clk) if (we) words[wa] <= d; always @(posedge clk) q <= words[ra];", "before"),
        # Write first: what is written goes past the array as well.
        (
            "always @(posedge clk) if (we) begin words[wa] <= d; q <= d; end else q <= words[wa];",
            "after",
        ),
        # Write first by comparing the addresses.
        (
            "always @(posedge clk) begin if (we) words[wa] <= d; q <= (we && wa == ra) ? d : words[ra]; end",
            "after",
        ),
        # Write first by a blocking assignment that comes before the read, and the other way round.
        ("always @(posedge clk) begin if (we) words[wa] = d; q <= words[ra]; end", "after"),
        ("always @(posedge clk) begin q <= words[ra]; if (we) words[wa] = d; end", "before"),
        # Blocking in one process and read in another: the standard does not say which runs first.
        ("always @(posedge clk) if (we) words[wa] = d; always @(posedge clk) q <= words[ra];", None),
        # A registered address looks the word up after the edge.
        (
            "always @(posedge clk) begin if (we) words[wa] <= d; at <= ra; end always @* q = words[at];",
            "after",
        ),
        # Either written or read.
        ("always @(posedge clk) if (we) words[wa] <= d; else q <= words[ra];", "never"),
        # An asynchronous read is at no edge.
        ("always @(posedge clk) if (we) words[wa] <= d; always @* q = words[ra];", None),
    ],
)
def test_what_a_read_gives_at_the_edge_of_a_write(body: str, expected: str | None) -> None:
    assert only_memory(f"{READS}{body}\nendmodule").same_address == expected
