// Only ever cleared: nothing else is written to it.
// expect-not: top.flag
module top (input clk, rst, input [2:0] which, output reg q);
  reg flag [0:7];
  integer i;

  always @(posedge clk) begin
    for (i = 0; i < 8; i = i + 1) flag[i] <= 1'b0;
    q <= flag[which];
  end
endmodule
