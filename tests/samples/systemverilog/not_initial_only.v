// Filled at power-up and never looked at by index.
// expect-not: top.names
module top (
  input        clk,
  output [7:0] first
);
  reg [7:0] names [0:15];
  integer i;

  initial
    for (i = 0; i < 16; i = i + 1) names[i] = i + 65;

  assign first = names[0];
endmodule
