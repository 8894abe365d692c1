// Read in a combinational process.
// expect: top.weights 32x16 banks=1 ports=1w1r clocks=top.clk read=asynchronous
module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [4:0]  wr_index,
  input  logic [15:0] wr_weight,
  input  logic        use_table,
  input  logic [4:0]  rd_index,
  output logic [15:0] weight
);
  logic [15:0] weights [32];

  always_ff @(posedge clk) if (wr_en) weights[wr_index] <= wr_weight;

  always_comb begin
    weight = 16'd1;
    if (use_table) weight = weights[rd_index];
  end
endmodule
