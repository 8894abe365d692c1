// A pipeline: every stage is named by a constant or an unrolled loop.
// expect-not: top.stages
module top (
  input  logic        clk,
  input  logic [11:0] in_pixel,
  output logic [11:0] out_pixel
);
  logic [11:0] stages [8];

  always_ff @(posedge clk) begin
    stages[0] <= in_pixel;
    for (int s = 1; s < 8; s++) stages[s] <= stages[s-1];
  end

  assign out_pixel = stages[7];
endmodule
