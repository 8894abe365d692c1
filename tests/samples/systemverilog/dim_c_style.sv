// A line of pixels, its size given as a count of words.
// expect: top.pixels 2048x12 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [10:0] wr_column,
  input  logic [11:0] wr_pixel,
  input  logic [10:0] rd_column,
  output logic [11:0] rd_pixel
);
  logic [11:0] pixels [2048];

  always_ff @(posedge clk) begin
    if (wr_en) pixels[wr_column] <= wr_pixel;
    rd_pixel <= pixels[rd_column];
  end
endmodule
