// A counter is read, raised and written back in one cycle: the addition makes it asynchronous.
// expect: top.rejects 64x16 banks=1 ports=1w1r clocks=top.clk read=asynchronous
module top (
  input  logic        clk,
  input  logic        hit,
  input  logic [5:0]  lane,
  output logic        many
);
  logic [15:0] rejects [64];
  logic [15:0] count;

  assign count = rejects[lane];
  assign many  = count > 16'd1000;

  always_ff @(posedge clk) begin
    if (hit) rejects[lane] <= count + 1'b1;
  end
endmodule
