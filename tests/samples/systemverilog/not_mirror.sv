// A copy for checking only stands between comments that keep it out of the build.
// expect: top.words 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// (no array of this name is in the design)
module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [5:0] wr_addr,
  input  logic [7:0] wr_word,
  input  logic [5:0] rd_addr,
  output logic [7:0] rd_word
);
  logic [7:0] words [64];

  always_ff @(posedge clk) begin
    if (wr_en) words[wr_addr] <= wr_word;
    rd_word <= words[rd_addr];
  end

  // synthesis translate_off
  logic [7:0] mirror [64];
  logic [7:0] seen;

  always @(posedge clk) begin
    if (wr_en) mirror[wr_addr] <= wr_word;
    seen <= mirror[rd_addr];
    if (seen !== rd_word) $display("mirror differs at %0t", $time);
  end
  // synthesis translate_on
endmodule
