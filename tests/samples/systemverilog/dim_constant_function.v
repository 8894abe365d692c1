// A function of the older language counts address bits; the depth comes back from them.
// expect: top.u_store.words 512x16 banks=1 ports=1w1r clocks=top.clk read=synchronous
module store #(
  parameter WORDS = 300
) (
  input             clk,
  input             wr_en,
  input      [8:0]  wr_addr,
  input      [15:0] wr_word,
  input      [8:0]  rd_addr,
  output reg [15:0] rd_word
);
  function integer bits_for;
    input integer value;
    integer left;
    begin
      left = value - 1;
      for (bits_for = 0; left > 0; bits_for = bits_for + 1) left = left >> 1;
    end
  endfunction

  localparam BITS = bits_for(WORDS);

  reg [15:0] words [0:(1<<BITS)-1];

  always @(posedge clk) begin
    if (wr_en) words[wr_addr] <= wr_word;
    rd_word <= words[rd_addr];
  end
endmodule

module top (
  input         clk,
  input         wr_en,
  input  [8:0]  wr_addr,
  input  [15:0] wr_word,
  input  [8:0]  rd_addr,
  output [15:0] rd_word
);
  store u_store (clk, wr_en, wr_addr, wr_word, rd_addr, rd_word);
endmodule
