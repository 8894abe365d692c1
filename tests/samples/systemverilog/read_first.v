// Read first: what stood there before is shown.
// expect: top.words 512x16 banks=1 ports=1rw clocks=top.clk read=synchronous
module top (
  input             clk,
  input             we,
  input      [8:0]  addr,
  input      [15:0] wdata,
  output reg [15:0] rdata
);
  reg [15:0] words [0:511];

  always @(posedge clk) begin
    rdata <= words[addr];
    if (we) words[addr] <= wdata;
  end
endmodule
