// Two buffer primitives on one clock make no other clock.
// expect: top.words 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input            clk,
  input            wr_en,
  input      [5:0] wr_addr,
  input      [7:0] wr_word,
  input      [5:0] rd_addr,
  output reg [7:0] rd_word
);
  wire clk_west;
  wire clk_east;
  reg [7:0] words [0:63];

  buf u_west (clk_west, clk);
  buf u_east (clk_east, clk);

  always @(posedge clk_west)
    if (wr_en) words[wr_addr] <= wr_word;

  always @(posedge clk_east)
    rd_word <= words[rd_addr];
endmodule
