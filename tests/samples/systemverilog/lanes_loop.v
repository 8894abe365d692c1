// Ten-bit lanes, loop variable declared in the module, one address for both.
// expect: top.words 1024x40 banks=1 ports=1rw clocks=top.clk read=synchronous
module top (
  input             clk,
  input      [3:0]  lane_en,
  input      [9:0]  addr,
  input      [39:0] wr_word,
  output reg [39:0] rd_word
);
  reg [39:0] words [0:1023];
  integer lane;

  always @(posedge clk) begin
    for (lane = 0; lane < 4; lane = lane + 1)
      if (lane_en[lane])
        words[addr][10*lane +: 10] <= wr_word[10*lane +: 10];
    rd_word <= words[addr];
  end
endmodule
