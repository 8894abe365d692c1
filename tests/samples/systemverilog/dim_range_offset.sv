// Valves are numbered from 4: the range does not begin at zero, the word not at bit zero.
// expect: top.pulses 16x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [4:0] wr_valve,
  input  logic [8:1] wr_pulse,
  input  logic [4:0] rd_valve,
  output logic [8:1] rd_pulse
);
  logic [8:1] pulses [4:19];

  always_ff @(posedge clk) begin
    if (wr_en) pulses[wr_valve] <= wr_pulse;
    rd_pulse <= pulses[rd_valve];
  end
endmodule
