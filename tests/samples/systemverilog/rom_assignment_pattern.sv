// A ROM whose words stand in the declaration.
// expect: top.squares 8x6 banks=1 ports=1r clocks=top.clk read=synchronous
module top (
  input  logic       clk,
  input  logic [2:0] side,
  output logic [5:0] area
);
  logic [5:0] squares [8] = '{0, 1, 4, 9, 16, 25, 36, 49};

  always_ff @(posedge clk) area <= squares[side];
endmodule
