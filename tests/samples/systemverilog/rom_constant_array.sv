// A ROM that is a constant, with a pattern that names its words.
// expect: top.BLOW 8x4 banks=1 ports=1r clocks=- read=asynchronous
module top (
  input  logic [2:0] grain,
  output logic [3:0] pulse
);
  localparam logic [3:0] BLOW [8] = '{0: 4'd0, 3: 4'd9, 5: 4'd12, default: 4'd4};

  assign pulse = BLOW[grain];
endmodule
