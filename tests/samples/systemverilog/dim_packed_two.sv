// Pulse lengths of sixteen valves, packed, one written at a time.
// expect: top.pulses 16x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [3:0] wr_valve,
  input  logic [7:0] wr_pulse,
  input  logic [3:0] rd_valve,
  output logic [7:0] rd_pulse
);
  logic [15:0][7:0] pulses;

  always_ff @(posedge clk) begin
    if (wr_en) pulses[wr_valve] <= wr_pulse;
    rd_pulse <= pulses[rd_valve];
  end
endmodule
