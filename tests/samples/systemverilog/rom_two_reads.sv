// One ROM with two reads on one clock.
// expect: top.sines 256x10 banks=1 ports=2r clocks=top.clk read=synchronous
module top (
  input  logic       clk,
  input  logic [7:0] front_phase,
  input  logic [7:0] rear_phase,
  output logic [9:0] front,
  output logic [9:0] rear
);
  logic [9:0] sines [256];

  initial $readmemh("sines.hex", sines);

  always_ff @(posedge clk) begin
    front <= sines[front_phase];
    rear  <= sines[rear_phase];
  end
endmodule
