// Written under a latch enable.
// expect: top.words 8x16 banks=1 ports=1w1r clocks=- read=asynchronous
module top (
  input  logic        write_gate,
  input  logic [2:0]  wr_addr,
  input  logic [15:0] wr_word,
  input  logic [2:0]  rd_addr,
  output logic [15:0] rd_word
);
  logic [15:0] words [8];

  always_latch begin
    if (write_gate) words[wr_addr] = wr_word;
  end

  assign rd_word = words[rd_addr];
endmodule
