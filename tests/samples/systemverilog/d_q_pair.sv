// Next state and state declared in one statement; only the state keeps anything.
// expect: top.queue_q 16x8 banks=1 ports=1w1r clocks=top.clk read=asynchronous
// expect-not: top.queue_d
module top (
  input  logic       clk,
  input  logic       push,
  input  logic [3:0] head,
  input  logic [7:0] in_level,
  input  logic [3:0] tail,
  output logic [7:0] out_level
);
  logic [7:0] queue_d [16], queue_q [16];

  always_comb begin
    queue_d = queue_q;
    if (push) queue_d[head] = in_level;
  end

  always_ff @(posedge clk) queue_q <= queue_d;

  assign out_level = queue_q[tail];
endmodule
