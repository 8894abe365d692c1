// A latch per word, each with a gated clock of its own.
// expect: top.words 1x16 banks=8 ports=1w1r clocks=- read=asynchronous
module top (
  input         clk,
  input         wr_en,
  input  [2:0]  wr_addr,
  input  [15:0] wr_word,
  input  [2:0]  rd_addr,
  output [15:0] rd_word
);
  reg  [15:0] words [0:7];
  wire [7:0]  gate;

  genvar i;
  generate
    for (i = 0; i < 8; i = i + 1) begin : g_word
      assign gate[i] = clk & wr_en & (wr_addr == i);

      always @*
        if (gate[i]) words[i] = wr_word;
    end
  endgenerate

  assign rd_word = words[rd_addr];
endmodule
