// Clocks that are parts of vectors: elements are matched from the left, whatever the bounds are.
// expect: top.u_slice.levels 64x8 banks=1 ports=1w1r clocks=top.clks[4],top.clks[5] read=synchronous
// expect: top.u_joined.levels 64x8 banks=1 ports=1w1r clocks=top.clks[3],top.other read=synchronous
// expect: top.u_wire.levels 64x8 banks=1 ports=1w1r clocks=top.clks[1],top.clks[2] read=synchronous
module store (
  input  logic [0:1] clks,
  input  logic       we,
  input  logic [5:0] wr_at, rd_at,
  input  logic [7:0] d,
  output logic [7:0] q
);
  logic [7:0] levels [64];

  always_ff @(posedge clks[0]) if (we) levels[wr_at] <= d;
  always_ff @(posedge clks[1]) q <= levels[rd_at];
endmodule

module top (
  input  logic [7:0] clks,
  input  logic       other, we,
  input  logic [5:0] wr_at, rd_at,
  input  logic [7:0] d,
  output logic [7:0] q, r, s
);
  wire [1:0] pair = clks[1 +: 2];

  store u_slice (.clks(clks[5:4]), .q(q), .*);
  store u_joined (.clks({other, clks[3]}), .q(r), .*);
  store u_wire (.clks(pair), .q(s), .*);
endmodule
