// A packed shift register, moved as a whole.
// expect-not: top.history
module top (
  input  logic       clk,
  input  logic [7:0] level,
  output logic [7:0] oldest
);
  logic [15:0][7:0] history;

  always_ff @(posedge clk) history <= {history[14:0], level};

  assign oldest = history[15];
endmodule
