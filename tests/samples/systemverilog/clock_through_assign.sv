// The clock changes its name twice inside the unit.
// expect: top.words 64x8 banks=1 ports=1w1r clocks=top.proc_clk read=synchronous
module top (
  input  logic       proc_clk,
  input  logic       wr_en,
  input  logic [5:0] wr_addr,
  input  logic [7:0] wr_word,
  input  logic [5:0] rd_addr,
  output logic [7:0] rd_word
);
  wire  local_clk = proc_clk;
  logic read_clk;

  assign read_clk = local_clk;

  logic [7:0] words [64];

  always_ff @(posedge local_clk) if (wr_en) words[wr_addr] <= wr_word;
  always_ff @(posedge read_clk) rd_word <= words[rd_addr];
endmodule
