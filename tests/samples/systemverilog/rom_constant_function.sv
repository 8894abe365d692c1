// A constant array that a function fills.
// expect: top.CURVE 64x8 banks=1 ports=1r clocks=top.clk read=synchronous
module top (
  input  logic       clk,
  input  logic [5:0] level,
  output logic [7:0] bent
);
  typedef logic [7:0] curve_t [64];

  function automatic curve_t make_curve();
    curve_t curve;
    for (int i = 0; i < 64; i++) curve[i] = 8'((i * i) >> 4);
    return curve;
  endfunction

  localparam curve_t CURVE = make_curve();

  always_ff @(posedge clk) bent <= CURVE[level];
endmodule
