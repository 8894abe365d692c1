// Written by a task, read by a function.
// expect: top.limits 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [5:0] wr_lane,
  input  logic [7:0] wr_limit,
  input  logic [5:0] lane,
  output logic [7:0] limit
);
  logic [7:0] limits [64];

  task automatic set_limit(input logic [5:0] where, input logic [7:0] what);
    limits[where] <= what;
  endtask

  function automatic logic [7:0] limit_of(input logic [5:0] where);
    return limits[where];
  endfunction

  always_ff @(posedge clk) begin
    if (wr_en) set_limit(wr_lane, wr_limit);
    limit <= limit_of(lane);
  end
endmodule
