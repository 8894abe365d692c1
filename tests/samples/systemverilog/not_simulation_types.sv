// Arrays of simulation: associative, dynamic, queues, text. None is a memory, none may disturb.
// expect: top.words 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect-not: top.by_address
// expect-not: top.grown
// expect-not: top.waiting
module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [5:0] wr_addr,
  input  logic [7:0] wr_word,
  input  logic [5:0] rd_addr,
  output logic [7:0] rd_word
);
  logic [7:0] words [64];
  int         by_address [*];
  int         by_name [string];
  byte        grown [];
  int         waiting [$];
  string      labels [4];

  initial begin
    grown = new[3];
    waiting.push_back(5);
    by_address[7]   = 1;
    by_name["belt"] = 2;
    labels[0]       = "front";
  end

  always_ff @(posedge clk) begin
    if (wr_en) words[wr_addr] <= wr_word;
    rd_word <= words[rd_addr];
  end
endmodule
