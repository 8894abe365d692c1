// Either written or read; the output stands still while writing.
// expect: top.words 512x16 banks=1 ports=1rw clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        en,
  input  logic        we,
  input  logic [8:0]  addr,
  input  logic [15:0] wdata,
  output logic [15:0] rdata
);
  logic [15:0] words [512];

  always_ff @(posedge clk) begin
    if (en && we) words[addr] <= wdata;
    else if (en) rdata <= words[addr];
  end
endmodule
