// A constant and a type that belong to no module.
// expect: top.history 48x10 banks=1 ports=1rw clocks=top.clk read=synchronous
localparam int unsigned HISTORY = 48;
typedef logic [9:0] speed_t;

module top (
  input  logic       clk,
  input  logic [5:0] slot,
  input  speed_t     newest,
  output speed_t     oldest
);
  speed_t history [HISTORY];

  always_ff @(posedge clk) begin
    oldest        <= history[slot];
    history[slot] <= newest;
  end
endmodule
