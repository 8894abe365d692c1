// A line of pixels, its size given as a rising range.
// expect: top.pixels 2048x12 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input             clk,
  input             wr_en,
  input      [10:0] wr_column,
  input      [11:0] wr_pixel,
  input      [10:0] rd_column,
  output reg [11:0] rd_pixel
);
  reg [11:0] pixels [0:2047];

  always @(posedge clk) begin
    if (wr_en) pixels[wr_column] <= wr_pixel;
    rd_pixel <= pixels[rd_column];
  end
endmodule
