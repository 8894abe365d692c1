// Sizes from macros, one of them with arguments.
// expect: top.pixels 1280x10 banks=1 ports=1w1r clocks=top.clk read=synchronous
`define LINE_PIXELS 1280
`define SENSOR_BITS 10
`define WORD(bits) [(bits)-1:0]

module top (
  input                          clk,
  input                          wr_en,
  input      [10:0]              wr_column,
  input      `WORD(`SENSOR_BITS) wr_pixel,
  input      [10:0]              rd_column,
  output reg `WORD(`SENSOR_BITS) rd_pixel
);
  reg `WORD(`SENSOR_BITS) pixels [0:`LINE_PIXELS-1];

  always @(posedge clk) begin
    if (wr_en) pixels[wr_column] <= wr_pixel;
    rd_pixel <= pixels[rd_column];
  end
endmodule
