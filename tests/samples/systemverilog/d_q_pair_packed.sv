// The same pair as packed arrays with a reset.
// expect: top.queue_q 8x12 banks=1 ports=1w1r clocks=top.clk read=asynchronous
// expect-not: top.queue_d
module top (
  input  logic        clk,
  input  logic        rst_n,
  input  logic        push,
  input  logic [2:0]  head,
  input  logic [11:0] in_level,
  input  logic [2:0]  tail,
  output logic [11:0] out_level
);
  logic [7:0][11:0] queue_d, queue_q;

  always_comb begin
    queue_d = queue_q;
    if (push) queue_d[head] = in_level;
  end

  always_ff @(posedge clk or negedge rst_n) begin
    if (!rst_n) queue_q <= '0;
    else queue_q <= queue_d;
  end

  assign out_level = queue_q[tail];
endmodule
