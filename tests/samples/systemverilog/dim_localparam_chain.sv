// A chain of local constants from the belt's speed to the depth.
// expect: top.ring 1600x8 banks=1 ports=1rw clocks=top.clk read=synchronous
module top #(
  parameter int unsigned BELT_MM_S = 4000,
  parameter int unsigned WAY_MM    = 800
) (
  input  logic        clk,
  input  logic [10:0] slot,
  input  logic [7:0]  newest,
  output logic [7:0]  oldest
);
  localparam int unsigned LINES_PER_S = BELT_MM_S * 2;
  localparam int unsigned FALL_MS     = (WAY_MM * 1000) / BELT_MM_S;
  localparam int unsigned LINES       = (LINES_PER_S * FALL_MS) / 1000;
  localparam int unsigned LAST        = LINES - 1;

  logic [7:0] ring [0:LAST];

  always_ff @(posedge clk) begin
    oldest     <= ring[slot];
    ring[slot] <= newest;
  end
endmodule
