// The address register feeds a comparison as well: it cannot move into the memory.
// expect: top.curve 256x8 banks=1 ports=1w1r clocks=top.clk read=asynchronous
module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [7:0] wr_level,
  input  logic [7:0] wr_value,
  input  logic [7:0] level,
  output logic [7:0] value,
  output logic       bright
);
  logic [7:0] curve [256];
  logic [7:0] level_q;

  always_ff @(posedge clk) begin
    if (wr_en) curve[wr_level] <= wr_value;
    level_q <= level;
  end

  assign value  = curve[level_q];
  assign bright = level_q > 8'd200;
endmodule
