"""A small design that can be planned in more than one way."""

from __future__ import annotations

DEVICE = """\
[device]
name = "tray"
target_mhz = 200
mux_ways = 4

[[source]]
id = "invented"
title = "invented for the tests"
facts = ["*"]

[[tier]]
name = "block"
role = "block"
block_bits = 20480
blocks = 40
splits = 2
clocks = "any"
read = "synchronous"
read_latency = 1
initial_contents = "any"
[tier.modes.simple_dual]
shapes = [[2048, 10], [512, 40]]
half_shapes = [[1024, 10], [256, 40]]
pair = "any"

[[tier]]
name = "bulk"
role = "bulk"
block_bits = 327680
blocks = 8
clocks = "one"
read = "synchronous"
read_latency = 1
initial_contents = "none"
[tier.modes.simple_dual]
shapes = [[8192, 40]]
[tier.chain]
longest = 4
register_every = 2
[[tier.columns]]
blocks = 4
count = 2
"""
"""Two columns of four big blocks, forty small ones."""

SMALLER = DEVICE.replace('"tray"', '"saucer"').replace("blocks = 8\n", "blocks = 2\n").replace(
    "blocks = 4\ncount = 2", "blocks = 2\ncount = 1"
)

RAM = """\
module ram #(parameter int DEPTH = 512, parameter int WIDTH = 40) (
    input  logic                     clk, we,
    input  logic [$clog2(DEPTH)-1:0] wa, ra,
    input  logic [WIDTH-1:0]         d,
    output logic [WIDTH-1:0]         q
);
    logic [WIDTH-1:0] mem [0:DEPTH-1];
    always_ff @(posedge clk) begin
        if (we) mem[wa] <= d;
        q <= mem[ra];
    end
endmodule
"""

TRAY = """\
module tray #(parameter int LINES = 8192) (
    input  logic                     clk, we,
    input  logic [$clog2(LINES)-1:0] wa, ra,
    input  logic [39:0]              d,
    output logic [39:0]              q, r, s
);
    // a line of the tray
    logic [39:0] lines [0:LINES-1];
    // @mem in block or bulk; why "whatever is left"
    logic [39:0] marks [0:511];
    (* keep *) logic [39:0] counts [0:511];  // @mem why "statistics"
    // @mem plan replay; shape 8K x 40; ports 1w 1r; one clock
    always_ff @(posedge clk) begin
        if (we) lines[wa] <= d;
        q <= lines[ra];
        if (we) marks[wa[8:0]] <= d;
        r <= marks[ra[8:0]];
        if (we) counts[wa[8:0]] <= d;
        s <= counts[ra[8:0]];
    end
endmodule
"""
"""8,192 x 40 is one of 8 big blocks or 16 of 40 small ones; 512 x 40 one of 40 small ones or one of 8 big."""
