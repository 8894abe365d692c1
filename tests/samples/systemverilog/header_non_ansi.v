// A header of the oldest form: names first, directions and types later.
// expect: top.pixels 256x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (clk, wr_en, wr_column, wr_pixel, rd_column, rd_pixel);
  parameter DEPTH = 256;
  parameter WIDTH = 8;

  input clk, wr_en;
  input [7:0] wr_column, rd_column;
  input [WIDTH-1:0] wr_pixel;
  output [WIDTH-1:0] rd_pixel;

  wire clk;
  reg [WIDTH-1:0] rd_pixel;
  reg [WIDTH-1:0] pixels [0:DEPTH-1];

  always @(posedge clk)
  begin
    if (wr_en)
      pixels[wr_column] <= wr_pixel;
    rd_pixel <= pixels[rd_column];
  end
endmodule
