// Either written or read, but at different addresses: two ports, although one could do.
// expect: top.words 512x16 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        we,
  input  logic [8:0]  wr_addr,
  input  logic [15:0] wdata,
  input  logic [8:0]  rd_addr,
  output logic [15:0] rdata
);
  logic [15:0] words [512];

  always_ff @(posedge clk) begin
    if (we) words[wr_addr] <= wdata;
    else rdata <= words[rd_addr];
  end
endmodule
