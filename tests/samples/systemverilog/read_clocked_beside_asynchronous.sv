// The clocked read uses the address of the write on the same clock: one port. The two reads without a
// clock look at one address: one port more, which no clocked access shares, not even `marks[lane]` itself.
// expect: top.limits 64x8 banks=1 ports=1r1rw clocks=top.clk read=asynchronous
// expect: top.marks 64x8 banks=1 ports=1r1rw clocks=top.clk read=asynchronous
module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [5:0] lane,
  input  logic [7:0] wr_limit,
  input  logic [5:0] shown_lane,
  output logic [7:0] limit,
  output logic [7:0] mark,
  output logic [7:0] shown,
  output logic [7:0] shown_inverted,
  output logic [7:0] mark_shown
);
  logic [7:0] limits [64];
  logic [7:0] marks [64];

  always_ff @(posedge clk) begin
    if (wr_en) limits[lane] <= wr_limit;
    limit <= limits[lane];
    if (wr_en) marks[lane] <= wr_limit;
    mark <= marks[lane];
  end

  assign shown          = limits[shown_lane];
  assign shown_inverted = ~limits[shown_lane];
  assign mark_shown     = marks[lane];
endmodule
