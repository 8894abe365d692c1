// Read where a wire is declared.
// expect: top.weights 32x16 banks=1 ports=1w1r clocks=top.clk read=asynchronous
module top (
  input         clk,
  input         wr_en,
  input  [4:0]  wr_index,
  input  [15:0] wr_weight,
  input  [4:0]  rd_index,
  output        heavy
);
  reg  [15:0] weights [0:31];
  wire [15:0] weight = weights[rd_index];

  always @(posedge clk)
    if (wr_en) weights[wr_index] <= wr_weight;

  assign heavy = weight[15];
endmodule
