// An array of instances whose clocks are the bits of a vector.
// expect: top.u_camera[1].pixels 32x8 banks=1 ports=1w1r clocks=top.cam_clk[1],top.clk read=synchronous
// expect: top.u_camera[0].pixels 32x8 banks=1 ports=1w1r clocks=top.cam_clk[0],top.clk read=synchronous
module camera (
  input            pix_clk,
  input            clk,
  input            wr_en,
  input      [4:0] wr_column,
  input      [7:0] wr_pixel,
  input      [4:0] rd_column,
  output reg [7:0] rd_pixel
);
  reg [7:0] pixels [0:31];

  always @(posedge pix_clk) if (wr_en) pixels[wr_column] <= wr_pixel;
  always @(posedge clk) rd_pixel <= pixels[rd_column];
endmodule

module top (
  input  [1:0]  cam_clk,
  input         clk,
  input  [1:0]  wr_en,
  input  [4:0]  wr_column,
  input  [7:0]  wr_pixel,
  input  [4:0]  rd_column,
  output [15:0] rd_pixel
);
  camera u_camera [1:0] (
    .pix_clk(cam_clk), .clk(clk), .wr_en(wr_en), .wr_column(wr_column), .wr_pixel(wr_pixel),
    .rd_column(rd_column), .rd_pixel(rd_pixel)
  );
endmodule
