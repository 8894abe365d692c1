// The address register is in the unit above; the memory's own unit reads without a clock.
// expect: top.u_curve.curve 256x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module bend (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [7:0] wr_level,
  input  logic [7:0] wr_value,
  input  logic [7:0] level,
  output logic [7:0] value
);
  logic [7:0] curve [256];

  always_ff @(posedge clk) if (wr_en) curve[wr_level] <= wr_value;

  assign value = curve[level];
endmodule

module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [7:0] wr_level,
  input  logic [7:0] wr_value,
  input  logic [7:0] level,
  output logic [8:0] twice
);
  logic [7:0] level_q;
  logic [7:0] value;

  always_ff @(posedge clk) level_q <= level;

  bend u_curve (.level(level_q), .*);

  assign twice = value + value;
endmodule
