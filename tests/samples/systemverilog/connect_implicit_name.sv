// Ports connected by their own name, some left open.
// expect: top.u_curve.curve 256x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module bend (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [7:0] wr_level,
  input  logic [7:0] wr_value,
  input  logic [7:0] level,
  output logic [7:0] value,
  output logic       busy
);
  logic [7:0] curve [256];

  assign busy = wr_en;

  always_ff @(posedge clk) begin
    if (wr_en) curve[wr_level] <= wr_value;
    value <= curve[level];
  end
endmodule

module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [7:0] wr_level,
  input  logic [7:0] wr_value,
  input  logic [7:0] level,
  output logic [7:0] value
);
  bend u_curve (.clk, .wr_en, .wr_level, .wr_value, .level, .value, .busy());
endmodule
