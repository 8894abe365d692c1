// Write first by order: the write is done before the read of the same edge.
// expect: top.words 512x16 banks=1 ports=1rw clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        we,
  input  logic [8:0]  addr,
  input  logic [15:0] wdata,
  output logic [15:0] rdata
);
  logic [15:0] words [512];

  always @(posedge clk) begin
    if (we) words[addr] = wdata;
    rdata <= words[addr];
  end
endmodule
