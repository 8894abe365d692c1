// A start-up task is called by its path from above; that is no port.
// expect: top.u_store.words 32x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module store (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [4:0] wr_addr,
  input  logic [7:0] wr_word,
  input  logic [4:0] rd_addr,
  output logic [7:0] rd_word
);
  logic [7:0] words [32];

  task automatic load(input int where, input logic [7:0] what);
    words[where] = what;
  endtask

  always @(posedge clk) begin
    if (wr_en) words[wr_addr] <= wr_word;
    rd_word <= words[rd_addr];
  end
endmodule

module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [4:0] wr_addr,
  input  logic [7:0] wr_word,
  input  logic [4:0] rd_addr,
  output logic [7:0] rd_word
);
  store u_store (.*);

  initial u_store.load(3, 8'hA5);
endmodule
