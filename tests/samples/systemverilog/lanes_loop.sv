// Byte lanes written in a loop.
// expect: top.words 1024x32 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic [3:0]  lane_en,
  input  logic [9:0]  wr_addr,
  input  logic [31:0] wr_word,
  input  logic [9:0]  rd_addr,
  output logic [31:0] rd_word
);
  logic [31:0] words [1024];

  always_ff @(posedge clk) begin
    for (int lane = 0; lane < 4; lane++) begin
      if (lane_en[lane]) words[wr_addr][8*lane+:8] <= wr_word[8*lane+:8];
    end
    rd_word <= words[rd_addr];
  end
endmodule
