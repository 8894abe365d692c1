// Four banks: each written by a process of its own, one chosen when reading.
// expect: top.words 256x8 banks=4 ports=1w1r clocks=top.clk read=asynchronous
module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [1:0] wr_bank,
  input  logic [7:0] wr_addr,
  input  logic [7:0] wr_word,
  input  logic [1:0] rd_bank,
  input  logic [7:0] rd_addr,
  output logic [7:0] rd_word
);
  logic [7:0] words [4][256];

  for (genvar b = 0; b < 4; b++) begin : g_bank
    always_ff @(posedge clk) begin
      if (wr_en && wr_bank == b) words[b][wr_addr] <= wr_word;
    end
  end

  assign rd_word = words[rd_bank][rd_addr];
endmodule
