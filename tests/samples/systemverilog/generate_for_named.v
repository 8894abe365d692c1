// The same in the older language, with the loop variable declared outside.
// expect: top.g_camera[0].curve 128x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.g_camera[1].curve 128x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input             clk,
  input      [1:0]  wr_en,
  input      [6:0]  wr_level,
  input      [7:0]  wr_value,
  input      [13:0] level,
  output reg [15:0] value
);
  genvar c;
  generate
    for (c = 0; c < 2; c = c + 1) begin : g_camera
      reg [7:0] curve [0:127];

      always @(posedge clk) begin
        if (wr_en[c]) curve[wr_level] <= wr_value;
        value[8*c +: 8] <= curve[level[7*c +: 7]];
      end
    end
  endgenerate
endmodule
