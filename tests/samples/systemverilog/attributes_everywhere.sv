// Attributes on module, port, instance, statement and process must not get in the way.
// expect: top.u_ring.ring 64x8 banks=1 ports=1rw clocks=top.clk read=synchronous
(* keep_hierarchy = "yes" *)
module ring_delay (
  (* clock *) input logic clk,
  input  logic [5:0] slot,
  input  logic [7:0] newest,
  output logic [7:0] oldest
);
  (* note = "one word a line", weight = 3 *) logic [7:0] ring [64];

  (* process *) always_ff @(posedge clk) begin
    (* first *) oldest <= ring[slot];
    ring[slot] <= newest;
  end
endmodule

module top (
  input  logic       clk,
  input  logic [5:0] slot,
  input  logic [7:0] newest,
  output logic [7:0] oldest
);
  (* region = "east" *) ring_delay u_ring (.*);
endmodule
