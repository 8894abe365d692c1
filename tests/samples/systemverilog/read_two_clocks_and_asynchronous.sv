// Each clocked read keeps its clock although a third read has none.
// expect: top.limits 64x8 banks=1 ports=1w3r clocks=top.belt_clk,top.clk,top.shown_clk read=asynchronous
module top (
  input  logic       clk,
  input  logic       belt_clk,
  input  logic       shown_clk,
  input  logic       wr_en,
  input  logic [5:0] wr_lane,
  input  logic [7:0] wr_limit,
  input  logic [5:0] lane,
  output logic [7:0] limit,
  output logic [7:0] shown,
  output logic [7:0] peak
);
  logic [7:0] limits [64];

  always_ff @(posedge clk) if (wr_en) limits[wr_lane] <= wr_limit;
  always_ff @(posedge belt_clk) limit <= limits[lane];
  always_ff @(posedge shown_clk) shown <= limits[lane];
  assign peak = limits[lane];
endmodule
