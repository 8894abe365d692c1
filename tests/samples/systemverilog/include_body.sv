// Part of a module's body is in a header.
// expect: top.ring 64x8 banks=1 ports=1rw clocks=top.clk read=synchronous
module top (
  input  logic       clk,
  input  logic [5:0] slot,
  input  logic [7:0] newest,
  output logic [7:0] oldest
);
  `include "ring_body.svh"
endmodule
