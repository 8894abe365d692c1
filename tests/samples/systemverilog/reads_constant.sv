// Three words are wired out beside the addressed read: each is a port.
// expect: top.regs 8x16 banks=1 ports=1w4r clocks=top.clk read=asynchronous
module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [2:0]  wr_reg,
  input  logic [15:0] wr_word,
  input  logic [2:0]  rd_reg,
  output logic [15:0] rd_word,
  output logic [15:0] delay,
  output logic [15:0] level,
  output logic        enable
);
  logic [15:0] regs [8];

  always_ff @(posedge clk) if (wr_en) regs[wr_reg] <= wr_word;

  assign rd_word = regs[rd_reg];
  assign delay   = regs[1];
  assign level   = regs[2];
  assign enable  = regs[7][0];
endmodule
