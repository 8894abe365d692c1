// Accesses by hierarchical names: from above, and from an instance beside it by a path from the top.
// expect: top.u_store.levels 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.g_lane[1].u_store.levels 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect-not: top.g_lane[0].u_store.levels
module store (input logic clk);
  logic [7:0] levels [64];
endmodule

module viewer (input logic clk, input logic [5:0] at, output logic [7:0] q);
  always_ff @(posedge clk) q <= top.u_store.levels[at];
endmodule

module top (
  input  logic       clk, we,
  input  logic [5:0] wr_at, rd_at,
  input  logic [7:0] d,
  output logic [7:0] q, r
);
  store  u_store (.clk(clk));
  viewer u_view (.clk(clk), .at(rd_at), .q(q));

  for (genvar i = 0; i < 2; i++) begin : g_lane
    store u_store (.clk(clk));
  end

  always_ff @(posedge clk) begin
    if (we) u_store.levels[wr_at] <= d;
    if (we) g_lane[1].u_store.levels[wr_at] <= d;
    r <= g_lane[1].u_store.levels[rd_at];
  end
endmodule
