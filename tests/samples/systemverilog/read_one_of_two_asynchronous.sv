// One read has a register, the other has none: the memory counts as asynchronous.
// expect: top.limits 64x8 banks=1 ports=1w2r clocks=top.clk read=asynchronous
module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [5:0] wr_lane,
  input  logic [7:0] wr_limit,
  input  logic [5:0] lane,
  input  logic [5:0] shown_lane,
  output logic [7:0] limit,
  output logic [7:0] shown
);
  logic [7:0] limits [64];

  always_ff @(posedge clk) begin
    if (wr_en) limits[wr_lane] <= wr_limit;
    limit <= limits[lane];
  end

  assign shown = limits[shown_lane];
endmodule
