// All ports connected by .*, with two exceptions.
// expect: top.u_curve.curve 256x8 banks=1 ports=1w1r clocks=top.proc_clk read=synchronous
module bend (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [7:0] wr_level,
  input  logic [7:0] wr_value,
  input  logic [7:0] level,
  output logic [7:0] value
);
  logic [7:0] curve [256];

  always_ff @(posedge clk) begin
    if (wr_en) curve[wr_level] <= wr_value;
    value <= curve[level];
  end
endmodule

module top (
  input  logic       proc_clk,
  input  logic       wr_en,
  input  logic [7:0] wr_level,
  input  logic [7:0] wr_value,
  input  logic [7:0] level,
  output logic [7:0] bent
);
  bend u_curve (.clk(proc_clk), .value(bent), .*);
endmodule
