// A flip-flop per bit, a gated clock per word: all gates have one root.
// expect: top.words 1x8 banks=4 ports=1w1r clocks=top.gated[0],top.gated[1],top.gated[2],top.gated[3] read=asynchronous
module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [1:0] wr_addr,
  input  logic [7:0] wr_word,
  input  logic [1:0] rd_addr,
  output logic [7:0] rd_word
);
  logic [7:0] words [4];
  logic [3:0] gated;

  for (genvar i = 0; i < 4; i++) begin : g_word
    assign gated[i] = clk & wr_en & (wr_addr == i);

    always_ff @(posedge gated[i]) words[i] <= wr_word;
  end

  assign rd_word = words[rd_addr];
endmodule
