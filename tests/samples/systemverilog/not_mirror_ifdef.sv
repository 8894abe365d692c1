// A copy for checking that only a macro would switch on.
// expect: top.words 64x8 banks=1 ports=1rw clocks=top.clk read=synchronous
// (no array of this name is in the design)
module top (
  input  logic       clk,
  input  logic       we,
  input  logic [5:0] addr,
  input  logic [7:0] wdata,
  output logic [7:0] rdata
);
  logic [7:0] words [64];

  always_ff @(posedge clk) begin
    if (we) words[addr] <= wdata;
    rdata <= words[addr];
  end

`ifdef CHECK_MIRROR
  logic [7:0] mirror [64];
  always_ff @(posedge clk) if (we) mirror[addr] <= wdata;
  assert property (@(posedge clk) mirror[addr] == words[addr]);
`endif
endmodule
