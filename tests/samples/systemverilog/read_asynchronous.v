// Read by a continuous assignment.
// expect: top.regs 32x32 banks=1 ports=1w2r clocks=top.clk read=asynchronous
module top (
  input         clk,
  input         wr_en,
  input  [4:0]  wr_reg,
  input  [31:0] wr_word,
  input  [4:0]  left_reg,
  input  [4:0]  right_reg,
  output [31:0] left,
  output [31:0] right
);
  reg [31:0] regs [0:31];

  always @(posedge clk)
    if (wr_en) regs[wr_reg] <= wr_word;

  assign left  = regs[left_reg];
  assign right = (right_reg == 0) ? 0 : regs[right_reg];
endmodule
