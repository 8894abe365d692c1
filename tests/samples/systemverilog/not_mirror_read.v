// A second read for checking only: it is no port.
// expect: top.words 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input            clk,
  input            wr_en,
  input      [5:0] wr_addr,
  input      [7:0] wr_word,
  input      [5:0] rd_addr,
  output reg [7:0] rd_word
);
  reg [7:0] words [0:63];

  always @(posedge clk) begin
    if (wr_en) words[wr_addr] <= wr_word;
    rd_word <= words[rd_addr];
  end

  /* synthesis translate_off */
  always @(posedge clk)
    if (wr_en && words[wr_addr] === wr_word) $display("word %0d written twice", wr_addr);
  /* synthesis translate_on */
endmodule
