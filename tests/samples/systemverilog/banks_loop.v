// Two banks in the older language, both sides by loop variable, the inner index by signal.
// expect: top.lines 128x8 banks=2 ports=1w1r clocks=top.clk read=synchronous
module top (
  input             clk,
  input      [1:0]  wr_en,
  input      [6:0]  wr_column,
  input      [15:0] wr_pixel,
  input      [6:0]  rd_column,
  output reg [15:0] rd_pixel
);
  reg [7:0] lines [0:1][0:127];
  integer b;

  always @(posedge clk)
    for (b = 0; b < 2; b = b + 1) begin
      if (wr_en[b]) lines[b][wr_column] <= wr_pixel[8*b +: 8];
      rd_pixel[8*b +: 8] <= lines[b][rd_column];
    end
endmodule
