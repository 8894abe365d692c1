// Two halves of a line buffer in the older language.
// expect: top.lines 1024x12 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input             clk,
  input             wr_en,
  input             half,
  input      [8:0]  wr_column,
  input      [11:0] wr_pixel,
  input      [8:0]  rd_column,
  output reg [11:0] rd_pixel
);
  reg [11:0] lines [0:1] [0:511];

  always @(posedge clk) begin
    if (wr_en) lines[half][wr_column] <= wr_pixel;
    rd_pixel <= lines[~half][rd_column];
  end
endmodule
