// The word leaves as a port and is registered one unit further, on another clock.
// expect: top.u_store.words 256x16 banks=1 ports=1w1r clocks=top.pix_clk,top.proc_clk read=synchronous
module store (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [7:0]  wr_addr,
  input  logic [15:0] wr_word,
  input  logic [7:0]  rd_addr,
  output logic [15:0] word
);
  logic [15:0] words [256];

  always_ff @(posedge clk) if (wr_en) words[wr_addr] <= wr_word;

  assign word = words[rd_addr];
endmodule

module catcher (
  input  logic        clk,
  input  logic [15:0] word,
  output logic [15:0] caught
);
  always_ff @(posedge clk) caught <= word;
endmodule

module top (
  input  logic        pix_clk,
  input  logic        proc_clk,
  input  logic        wr_en,
  input  logic [7:0]  wr_addr,
  input  logic [15:0] wr_word,
  input  logic [7:0]  rd_addr,
  output logic [15:0] rd_word
);
  logic [15:0] word;

  store u_store (.clk(pix_clk), .*);
  catcher u_catcher (.clk(proc_clk), .word(word), .caught(rd_word));
endmodule
