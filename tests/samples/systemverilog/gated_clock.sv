// The write side runs on a gated clock: a net of its own with the same root.
// expect: top.words 64x8 banks=1 ports=1w1r clocks=top.clk,top.wr_clk read=synchronous
module top (
  input  logic       clk,
  input  logic       wr_gate,
  input  logic [5:0] wr_addr,
  input  logic [7:0] wr_word,
  input  logic [5:0] rd_addr,
  output logic [7:0] rd_word
);
  logic [7:0] words [64];
  logic       wr_clk;

  assign wr_clk = clk & wr_gate;

  always_ff @(posedge wr_clk) words[wr_addr] <= wr_word;

  always_ff @(posedge clk) rd_word <= words[rd_addr];
endmodule
