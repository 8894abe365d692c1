// Groups of valves, valves of a group: names nest, and the inner loop depends on the outer.
// expect: top.g_group[0].g_valve[0].ring 16x4 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.g_group[1].g_valve[0].ring 32x4 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.g_group[1].g_valve[1].ring 32x4 banks=1 ports=1rw clocks=top.clk read=synchronous
module top (
  input  logic                 clk,
  input  logic [4:0]           slot,
  input  logic [3:0]           newest,
  output logic [1:0][1:0][3:0] oldest
);
  for (genvar g = 0; g < 2; g++) begin : g_group
    for (genvar v = 0; v <= g; v++) begin : g_valve
      logic [3:0] ring [16 * (g + 1)];

      always_ff @(posedge clk) begin
        oldest[g][v] <= ring[slot];
        ring[slot]   <= newest;
      end
    end
  end
endmodule
