// The same in the older language, partly by hand.
// expect-not: top.stages
module top (
  input         clk,
  input  [11:0] in_pixel,
  output [11:0] out_pixel
);
  reg [11:0] stages [0:3];
  integer s;

  always @(posedge clk) begin
    stages[0] <= in_pixel;
    stages[1] <= stages[0];
    for (s = 2; s <= 3; s = s + 1)
      stages[s] <= stages[s-1];
  end

  assign out_pixel = stages[3];
endmodule
