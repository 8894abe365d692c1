// One enable over write and read, one address.
// expect: top.words 256x16 banks=1 ports=1rw clocks=top.clk read=synchronous
module top (
  input             clk,
  input             en,
  input             we,
  input      [7:0]  addr,
  input      [15:0] wr_word,
  output reg [15:0] rd_word
);
  reg [15:0] words [0:255];

  always @(posedge clk)
    if (en) begin
      if (we) words[addr] <= wr_word;
      rd_word <= words[addr];
    end
endmodule
