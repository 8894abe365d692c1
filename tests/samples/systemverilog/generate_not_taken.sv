// The branch with the memory is not taken: there is none.
module top #(
  parameter bit WITH_HISTORY = 1'b0
) (
  input  logic       clk,
  input  logic [5:0] slot,
  input  logic [7:0] newest,
  output logic [7:0] oldest
);
  if (WITH_HISTORY) begin : g_history
    logic [7:0] ring [64];

    always_ff @(posedge clk) begin
      oldest     <= ring[slot];
      ring[slot] <= newest;
    end
  end else begin : g_plain
    always_ff @(posedge clk) oldest <= newest;
  end
endmodule
