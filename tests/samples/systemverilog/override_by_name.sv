// One unit, two instances, one of them with another depth only.
// expect: top.u_front.pixels 2048x12 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.u_rear.pixels 256x12 banks=1 ports=1w1r clocks=top.clk read=synchronous
module line_store #(
  parameter int unsigned WIDTH = 12,
  parameter int unsigned DEPTH = 256
) (
  input  logic             clk,
  input  logic             wr_en,
  input  logic [10:0]      wr_column,
  input  logic [WIDTH-1:0] wr_pixel,
  input  logic [10:0]      rd_column,
  output logic [WIDTH-1:0] rd_pixel
);
  logic [WIDTH-1:0] pixels [DEPTH];

  always_ff @(posedge clk) begin
    if (wr_en) pixels[wr_column] <= wr_pixel;
    rd_pixel <= pixels[rd_column];
  end
endmodule

module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [10:0] wr_column,
  input  logic [11:0] wr_pixel,
  input  logic [10:0] rd_column,
  output logic [11:0] front,
  output logic [11:0] rear
);
  line_store #(.DEPTH(2048)) u_front (.rd_pixel(front), .*);
  line_store u_rear (.rd_pixel(rear), .*);
endmodule
