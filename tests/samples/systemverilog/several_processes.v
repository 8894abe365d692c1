// The array is written in one process with a named block and read in another.
// expect: top.words 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (clk, rst_n, wr_en, wr_addr, wr_word, rd_addr, rd_word);
  input clk, rst_n, wr_en;
  input [5:0] wr_addr, rd_addr;
  input [7:0] wr_word;
  output [7:0] rd_word;
  reg [7:0] rd_word;
  reg [7:0] words [63:0];

  always @(posedge clk)
  begin : write_process
    reg unused;
    unused = 1'b0;
    if (wr_en == 1'b1)
      words[wr_addr] <= wr_word;
  end

  always @(posedge clk or negedge rst_n)
  begin : read_process
    if (rst_n == 1'b0)
      rd_word <= 8'h00;
    else
      rd_word <= words[rd_addr];
  end
endmodule
