// A macro puts the same parameters into every module of a family.
// expect: top.u_queue.words 64x18 banks=1 ports=1w1r clocks=top.clk read=synchronous
`define QUEUE_PARAMETERS \
  parameter int unsigned DEPTH = 16, \
  parameter int unsigned WIDTH = 8

module queue #(
  `QUEUE_PARAMETERS
) (
  input  logic                     clk,
  input  logic                     push,
  input  logic [$clog2(DEPTH)-1:0] head,
  input  logic [WIDTH-1:0]         in_word,
  input  logic [$clog2(DEPTH)-1:0] tail,
  output logic [WIDTH-1:0]         out_word
);
  logic [WIDTH-1:0] words [DEPTH];

  always_ff @(posedge clk) begin
    if (push) words[head] <= in_word;
    out_word <= words[tail];
  end
endmodule

module top (
  input  logic        clk,
  input  logic        push,
  input  logic [5:0]  head,
  input  logic [17:0] in_word,
  input  logic [5:0]  tail,
  output logic [17:0] out_word
);
  queue #(.DEPTH(64), .WIDTH(18)) u_queue (.*);
endmodule
