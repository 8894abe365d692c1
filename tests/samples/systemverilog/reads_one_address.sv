// Two reads of one address on one clock are one port, wherever they stand.
// expect: top.words 128x16 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [6:0]  wr_addr,
  input  logic [15:0] wr_word,
  input  logic [6:0]  rd_addr,
  output logic [7:0]  upper,
  output logic [15:0] whole
);
  logic [15:0] words [128];

  always_ff @(posedge clk) begin
    if (wr_en) words[wr_addr] <= wr_word;
    whole <= words[rd_addr];
  end

  always_ff @(posedge clk) upper <= words[rd_addr][15:8];
endmodule
