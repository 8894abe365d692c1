"""The sources of a small project: part of a sorter's belt."""

LINE_STORE = """\
module line_store #(parameter int WORDS = 65536) (
    input  logic        cam_clk, proc_clk, we,
    input  logic [15:0] wa, ra,
    input  logic [39:0] d,
    output logic [39:0] q
);
    // @mem in bulk
    logic [39:0] words [0:WORDS-1];
    always_ff @(posedge cam_clk) if (we) words[wa] <= d;
    always_ff @(posedge proc_clk) q <= words[ra];
endmodule
"""
"""One memory; two clocks on a tier whose ports share one."""

REJECT_COUNT = """\
module reject_count (
    input  logic       clk, we,
    input  logic [9:0] wa, ra,
    input  logic [23:0] d,
    output logic [23:0] q
);
    // @mem in block; shape 512 x 24
    logic [23:0] counts [0:1023];
    always_ff @(posedge clk) begin
        if (we) counts[wa] <= d;
        q <= counts[ra];
    end
endmodule
"""
"""One memory; twice as deep as its intent says."""
