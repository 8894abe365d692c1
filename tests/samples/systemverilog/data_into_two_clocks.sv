// The word goes into registers on two clocks: no block can do that.
// expect: top.words 64x8 banks=1 ports=1w1r clocks=top.proc_clk read=asynchronous
module top (
  input  logic       proc_clk,
  input  logic       host_clk,
  input  logic       wr_en,
  input  logic [5:0] wr_addr,
  input  logic [7:0] wr_word,
  input  logic [5:0] rd_addr,
  output logic [7:0] proc_word,
  output logic [7:0] host_word
);
  logic [7:0] words [64];
  logic [7:0] word;

  assign word = words[rd_addr];

  always_ff @(posedge proc_clk) begin
    if (wr_en) words[wr_addr] <= wr_word;
    proc_word <= word;
  end

  always_ff @(posedge host_clk) host_word <= word;
endmodule
