// Data through a wire into one register, then a second: one memory, read in two cycles.
// expect: top.words 256x16 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [7:0]  wr_addr,
  input  logic [15:0] wr_word,
  input  logic [7:0]  rd_addr,
  output logic [15:0] rd_word
);
  logic [15:0] words [256];
  logic [15:0] word;
  logic [15:0] word_q;

  assign word = words[rd_addr];

  always_ff @(posedge clk) begin
    if (wr_en) words[wr_addr] <= wr_word;
    word_q  <= word;
    rd_word <= word_q;
  end
endmodule
