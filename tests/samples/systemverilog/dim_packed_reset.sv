// The same with a reset of all valves at once.
// expect: top.pulses 16x8 banks=1 ports=1w1r clocks=top.clk read=asynchronous
module top (
  input  logic       clk,
  input  logic       rst_n,
  input  logic       wr_en,
  input  logic [3:0] wr_valve,
  input  logic [7:0] wr_pulse,
  input  logic [3:0] rd_valve,
  output logic [7:0] rd_pulse
);
  logic [15:0][7:0] pulses;

  always_ff @(posedge clk or negedge rst_n) begin
    if (!rst_n) pulses <= '0;
    else if (wr_en) pulses[wr_valve] <= wr_pulse;
  end

  assign rd_pulse = pulses[rd_valve];
endmodule
