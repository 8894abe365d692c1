// Lanes written by part-selects, one statement each.
// expect: top.words 256x32 banks=1 ports=1w1r clocks=top.clk read=asynchronous
module top (
  input         clk,
  input  [3:0]  lane_en,
  input  [7:0]  wr_addr,
  input  [31:0] wr_word,
  input  [7:0]  rd_addr,
  output [31:0] rd_word
);
  reg [31:0] words [0:255];

  always @(posedge clk) begin
    if (lane_en[0]) words[wr_addr][7:0]   <= wr_word[7:0];
    if (lane_en[1]) words[wr_addr][15:8]  <= wr_word[15:8];
    if (lane_en[2]) words[wr_addr][23:16] <= wr_word[23:16];
    if (lane_en[3]) words[wr_addr][31:24] <= wr_word[31:24];
  end

  assign rd_word = words[rd_addr];
endmodule
