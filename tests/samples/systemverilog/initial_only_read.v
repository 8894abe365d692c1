// Filled by a loop at power-up, never written, read by index: a ROM.
// expect: top.names 16x8 banks=1 ports=1r clocks=top.clk read=synchronous
module top (
  input            clk,
  input      [3:0] place,
  output reg [7:0] name
);
  reg [7:0] names [0:15];
  integer i;

  initial
    for (i = 0; i < 16; i = i + 1) names[i] = i + 65;

  always @(posedge clk) name <= names[place];
endmodule
