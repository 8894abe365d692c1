// One address: written at once, read through a register of its own, as one port of a block does.
// expect: top.words 512x16 banks=1 ports=1rw clocks=top.clk read=synchronous
module top (
  input         clk,
  input         wr_en,
  input  [8:0]  addr,
  input  [15:0] wr_word,
  output [15:0] rd_word
);
  reg [15:0] words [0:511];
  reg [8:0]  addr_q;

  always @(posedge clk) begin
    if (wr_en) words[addr] <= wr_word;
    addr_q <= addr;
  end

  assign rd_word = words[addr_q];
endmodule
