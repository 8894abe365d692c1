// The same reset in the older language, synchronous this time.
// expect: top.latest 16x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input            clk,
  input            rst,
  input            wr_en,
  input      [3:0] wr_lane,
  input      [7:0] wr_kind,
  input      [3:0] lane,
  output reg [7:0] kind
);
  parameter LANES = 16;
  reg [7:0] latest [0:LANES-1];
  integer i;

  always @(posedge clk) begin
    if (rst) begin
      for (i = 0; i < LANES; i = i + 1) latest[i] <= 8'd0;
    end else begin
      if (wr_en) latest[wr_lane] <= wr_kind;
    end
  end

  always @(posedge clk) kind <= latest[lane];
endmodule
