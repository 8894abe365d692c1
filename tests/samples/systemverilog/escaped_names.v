// Names that need a backslash.
// expect: top.\line+store 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input            clk,
  input            \wr-en ,
  input      [5:0] wr_addr,
  input      [7:0] wr_word,
  input      [5:0] rd_addr,
  output reg [7:0] rd_word
);
  reg [7:0] \line+store [0:63];

  always @(posedge clk) begin
    if (\wr-en ) \line+store [wr_addr] <= wr_word;
    rd_word <= \line+store [rd_addr];
  end
endmodule
