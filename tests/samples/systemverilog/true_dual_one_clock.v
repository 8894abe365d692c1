// Two full ports on one clock.
// expect: top.words 512x18 banks=1 ports=2rw clocks=top.clk read=synchronous
module top (
  input             clk,
  input             a_we,
  input      [8:0]  a_addr,
  input      [17:0] a_wdata,
  output reg [17:0] a_rdata,
  input             b_we,
  input      [8:0]  b_addr,
  input      [17:0] b_wdata,
  output reg [17:0] b_rdata
);
  reg [17:0] words [0:511];

  always @(posedge clk) begin
    if (a_we) words[a_addr] <= a_wdata;
    a_rdata <= words[a_addr];
  end

  always @(posedge clk) begin
    if (b_we) words[b_addr] <= b_wdata;
    b_rdata <= words[b_addr];
  end
endmodule
