// Elements of the built-in integer types.
// expect: top.sums 64x32 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.levels 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.offsets 64x16 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [5:0] wr_index,
  input  int         wr_sum,
  input  logic [5:0] rd_index,
  output int         rd_sum,
  output byte        rd_level,
  output shortint    rd_offset
);
  int      sums    [64];
  byte     levels  [64];
  shortint offsets [64];

  always_ff @(posedge clk) begin
    if (wr_en) begin
      sums[wr_index]    <= wr_sum;
      levels[wr_index]  <= wr_sum[7:0];
      offsets[wr_index] <= wr_sum[15:0];
    end
    rd_sum    <= sums[rd_index];
    rd_level  <= levels[rd_index];
    rd_offset <= offsets[rd_index];
  end
endmodule
