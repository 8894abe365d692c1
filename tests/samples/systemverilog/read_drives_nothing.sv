// A second read goes into a wire nobody looks at: it is no port.
// expect: top.words 128x16 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [6:0]  wr_addr,
  input  logic [15:0] wr_word,
  input  logic [6:0]  rd_addr,
  output logic [15:0] rd_word
);
  logic [15:0] words [128];
  logic [15:0] left_over;

  assign left_over = words[wr_addr + 7'd1];

  always_ff @(posedge clk) begin
    if (wr_en) words[wr_addr] <= wr_word;
    rd_word <= words[rd_addr];
  end
endmodule
