// The read address is registered, for this read alone; the data come straight.
// expect: top.curve 256x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [7:0] wr_level,
  input  logic [7:0] wr_value,
  input  logic [7:0] level,
  output logic [7:0] value
);
  logic [7:0] curve [256];
  logic [7:0] level_q;

  always_ff @(posedge clk) begin
    if (wr_en) curve[wr_level] <= wr_value;
    level_q <= level;
  end

  assign value = curve[level_q];
endmodule
