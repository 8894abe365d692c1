// Two independent writes at one address: one port.
// expect: top.latest 32x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic       clk,
  input  logic       upper_en,
  input  logic       lower_en,
  input  logic [4:0] wr_lane,
  input  logic [7:0] value,
  input  logic [4:0] lane,
  output logic [7:0] kind
);
  logic [7:0] latest [32];

  always_ff @(posedge clk) begin
    if (upper_en) latest[wr_lane][7:4] <= value[7:4];
    if (lower_en) latest[wr_lane][3:0] <= value[3:0];
    kind <= latest[lane];
  end
endmodule
