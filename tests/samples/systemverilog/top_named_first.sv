// top: sorter
// The top stands before the units it uses.
// expect: sorter.u_ring.ring 16x8 banks=1 ports=1rw clocks=sorter.clk read=synchronous
module sorter (
  input  logic       clk,
  input  logic [3:0] slot,
  input  logic [7:0] newest,
  output logic [7:0] oldest
);
  ring_delay u_ring (.*);
endmodule

module ring_delay (
  input  logic       clk,
  input  logic [3:0] slot,
  input  logic [7:0] newest,
  output logic [7:0] oldest
);
  logic [7:0] ring [16];

  always_ff @(posedge clk) begin
    oldest     <= ring[slot];
    ring[slot] <= newest;
  end
endmodule : ring_delay
