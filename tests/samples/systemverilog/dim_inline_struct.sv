// The element is a struct written out at the array itself.
// expect: top.hits 64x11 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [5:0] wr_index,
  input  logic [6:0] wr_valve,
  input  logic [5:0] rd_index,
  output logic [6:0] rd_valve,
  output logic [3:0] rd_class
);
  struct packed {
    logic [6:0] valve;
    logic [3:0] grain;
  } hits [64];

  always_ff @(posedge clk) begin
    if (wr_en) hits[wr_index] <= {wr_valve, 4'd3};
    {rd_valve, rd_class} <= hits[rd_index];
  end
endmodule
