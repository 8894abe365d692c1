// Alternatives without a name share one name, whichever is taken.
// expect: top.u_store.genblk1.words 512x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module store #(
  parameter DEEP = 0
) (
  input            clk,
  input            wr_en,
  input      [8:0] wr_addr,
  input      [7:0] wr_word,
  input      [8:0] rd_addr,
  output reg [7:0] rd_word
);
  generate
    if (DEEP == 0) begin
      reg [7:0] words [0:63];
      always @(posedge clk) begin
        if (wr_en) words[wr_addr[5:0]] <= wr_word;
        rd_word <= words[rd_addr[5:0]];
      end
    end else begin
      reg [7:0] words [0:511];
      always @(posedge clk) begin
        if (wr_en) words[wr_addr] <= wr_word;
        rd_word <= words[rd_addr];
      end
    end
  endgenerate
endmodule

module top (
  input        clk,
  input        wr_en,
  input  [8:0] wr_addr,
  input  [7:0] wr_word,
  input  [8:0] rd_addr,
  output [7:0] rd_word
);
  store #(.DEEP(1)) u_store (clk, wr_en, wr_addr, wr_word, rd_addr, rd_word);
endmodule
