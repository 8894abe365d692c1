// A line of pixels, its size given as a falling range with a parameter.
// expect: top.pixels 640x10 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (clk, wr_en, wr_column, wr_pixel, rd_column, rd_pixel);
  parameter PIXELS = 640;
  input             clk;
  input             wr_en;
  input       [9:0] wr_column;
  input       [9:0] wr_pixel;
  input       [9:0] rd_column;
  output reg  [9:0] rd_pixel;

  reg [9:0] pixels [PIXELS-1:0];

  always @(posedge clk) begin
    if (wr_en) pixels[wr_column] <= wr_pixel;
    rd_pixel <= pixels[rd_column];
  end
endmodule
