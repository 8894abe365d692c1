// A task of the older language, without arguments.
// expect: top.limits 64x8 banks=1 ports=1w1r clocks=top.clk read=asynchronous
module top (
  input        clk,
  input        wr_en,
  input  [5:0] wr_lane,
  input  [7:0] wr_limit,
  input  [5:0] lane,
  output [7:0] limit
);
  reg [7:0] limits [0:63];

  task store;
    begin
      limits[wr_lane] <= wr_limit;
    end
  endtask

  always @(posedge clk)
    if (wr_en) store;

  assign limit = limits[lane];
endmodule
