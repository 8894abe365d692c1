// The read address is registered; what follows the data does not matter then.
// expect: top.curve 256x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input        clk,
  input        wr_en,
  input  [7:0] wr_level,
  input  [7:0] wr_value,
  input  [7:0] level,
  input  [7:0] limit,
  output       above
);
  reg [7:0] curve [0:255];
  reg [7:0] level_q;

  always @(posedge clk) begin
    if (wr_en) curve[wr_level] <= wr_value;
    level_q <= level;
  end

  assign above = curve[level_q] > limit;
endmodule
