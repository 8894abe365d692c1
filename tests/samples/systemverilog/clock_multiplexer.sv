// The clock comes out of a multiplexer: that is where the trace ends.
// expect: top.words 64x8 banks=1 ports=1w1r clocks=top.chosen_clk read=synchronous
module top (
  input  logic       cam_clk,
  input  logic       test_clk,
  input  logic       test_mode,
  input  logic       wr_en,
  input  logic [5:0] wr_addr,
  input  logic [7:0] wr_word,
  input  logic [5:0] rd_addr,
  output logic [7:0] rd_word
);
  logic       chosen_clk;
  logic [7:0] words [64];

  assign chosen_clk = test_mode ? test_clk : cam_clk;

  always_ff @(posedge chosen_clk) begin
    if (wr_en) words[wr_addr] <= wr_word;
    rd_word <= words[rd_addr];
  end
endmodule
