// A parameter set from outside by defparam.
// expect: top.u_line.pixels 1024x14 banks=1 ports=1w1r clocks=top.clk read=synchronous
module line_store (clk, wr_en, wr_column, wr_pixel, rd_column, rd_pixel);
  parameter WIDTH = 8;
  parameter DEPTH = 256;
  input                  clk;
  input                  wr_en;
  input      [9:0]       wr_column;
  input      [WIDTH-1:0] wr_pixel;
  input      [9:0]       rd_column;
  output     [WIDTH-1:0] rd_pixel;
  reg        [WIDTH-1:0] rd_pixel;
  reg        [WIDTH-1:0] pixels [0:DEPTH-1];

  always @(posedge clk) begin
    if (wr_en) pixels[wr_column] <= wr_pixel;
    rd_pixel <= pixels[rd_column];
  end
endmodule

module top (
  input         clk,
  input         wr_en,
  input  [9:0]  wr_column,
  input  [13:0] wr_pixel,
  input  [9:0]  rd_column,
  output [13:0] rd_pixel
);
  defparam u_line.DEPTH = 1024;
  defparam u_line.WIDTH = 14;

  line_store u_line (clk, wr_en, wr_column, wr_pixel, rd_column, rd_pixel);
endmodule
