// A loop without a name is called by its place in the module.
// expect: top.genblk1[0].ring 64x8 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.genblk1[1].ring 64x8 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.genblk2[0].ring 32x8 banks=1 ports=1rw clocks=top.clk read=synchronous
module top (
  input  logic            clk,
  input  logic [5:0]      slot,
  input  logic [7:0]      newest,
  output logic [2:0][7:0] oldest
);
  for (genvar v = 0; v < 2; v++) begin
    logic [7:0] ring [64];
    always_ff @(posedge clk) begin
      oldest[v]  <= ring[slot];
      ring[slot] <= newest;
    end
  end

  for (genvar v = 0; v < 1; v++) begin
    logic [7:0] ring [32];
    always_ff @(posedge clk) begin
      oldest[2]       <= ring[slot[4:0]];
      ring[slot[4:0]] <= newest;
    end
  end
endmodule
