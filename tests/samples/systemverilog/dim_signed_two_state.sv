// Signed and two-state words.
// expect: top.weights 32x16 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.seen 32x4 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic               clk,
  input  logic               wr_en,
  input  logic        [4:0]  wr_index,
  input  logic signed [15:0] wr_weight,
  input  logic        [4:0]  rd_index,
  output logic signed [15:0] rd_weight,
  output logic        [3:0]  rd_seen
);
  var logic signed [15:0] weights [32];
  bit [3:0] seen [32];

  always_ff @(posedge clk) begin
    if (wr_en) begin
      weights[wr_index] <= wr_weight;
      seen[wr_index]    <= wr_weight[3:0];
    end
    rd_weight <= weights[rd_index];
    rd_seen   <= seen[rd_index];
  end
endmodule
