// Sizes written with sized, based and spaced literals.
// expect: top.counts 1024x24 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top #(
  parameter [15:0] BINS = 16'h4_00,
  parameter        BITS = 5'b1_1000
) (
  input                 clk,
  input                 wr_en,
  input      [9:0]      wr_bin,
  input      [BITS-1:0] wr_count,
  input      [9:0]      rd_bin,
  output reg [BITS-1:0] rd_count
);
  reg [BITS-1'b1:0] counts [BINS-1:'d0];

  always @(posedge clk) begin
    if (wr_en) counts[wr_bin] <= wr_count;
    rd_count <= counts[rd_bin];
  end
endmodule
