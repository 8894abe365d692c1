// A ROM from a file of bits, read without a clock.
// expect: top.font 128x8 banks=1 ports=1r clocks=- read=asynchronous
module top (
  input  [6:0] row,
  output [7:0] dots
);
  reg [7:0] font [0:127];

  initial begin
    $readmemb("font.bin", font, 0, 127);
  end

  assign dots = font[row];
endmodule
