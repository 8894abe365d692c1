// The data register has an enable.
// expect: top.words 256x16 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [7:0]  wr_addr,
  input  logic [15:0] wr_word,
  input  logic        rd_en,
  input  logic [7:0]  rd_addr,
  output logic [15:0] rd_word
);
  logic [15:0] words [256];

  always_ff @(posedge clk) begin
    if (wr_en) words[wr_addr] <= wr_word;
  end

  always_ff @(posedge clk) begin
    if (rd_en) rd_word <= words[rd_addr];
  end
endmodule
