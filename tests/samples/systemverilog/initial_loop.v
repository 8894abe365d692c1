// The same in the older language, all zero.
// expect: top.counts 64x16 banks=1 ports=1rw clocks=top.clk read=synchronous
module top (
  input             clk,
  input             we,
  input      [5:0]  lane,
  input      [15:0] wr_count,
  output reg [15:0] rd_count
);
  reg [15:0] counts [63:0];
  integer i;

  initial
    for (i = 0; i < 64; i = i + 1)
      counts[i] = 16'h0000;

  always @(posedge clk) begin
    if (we) counts[lane] <= wr_count;
    rd_count <= counts[lane];
  end
endmodule
