// Size and type come from a header; a second inclusion changes nothing.
// expect: top.gains 384x14 banks=1 ports=1w1r clocks=top.clk read=synchronous
`include "line_shape.svh"
`include "line_shape.svh"

module top (
  input  logic                  clk,
  input  logic                  wr_en,
  input  logic [8:0]            wr_column,
  input  logic [`GAIN_BITS-1:0] wr_gain,
  input  logic [8:0]            rd_column,
  output logic [`GAIN_BITS-1:0] rd_gain
);
  logic [`GAIN_BITS-1:0] gains [`GAIN_COLUMNS];

  always_ff @(posedge clk) begin
    if (wr_en) gains[wr_column] <= wr_gain;
    rd_gain <= gains[rd_column];
  end
endmodule
