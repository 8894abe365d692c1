// The macro is not set: the array stands, not the hardened module.
// expect: top.pixels 512x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input            clk,
  input            wr_en,
  input      [8:0] wr_column,
  input      [7:0] wr_pixel,
  input      [8:0] rd_column,
  output     [7:0] rd_pixel
);
`ifdef HARD_LINE_STORE
  hard_line_store u_hard (
    .CK(clk), .WE(wr_en), .WA(wr_column), .D(wr_pixel), .RA(rd_column), .Q(rd_pixel)
  );
`else
  reg [7:0] pixels [0:511];
  reg [7:0] pixel;

  always @(posedge clk) begin
    if (wr_en) pixels[wr_column] <= wr_pixel;
    pixel <= pixels[rd_column];
  end

  assign rd_pixel = pixel;
`endif
endmodule
