// Sizes from a package: once by its full name, once imported.
// expect: top.gains 2048x12 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.curve 256x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
package camera_pkg;
  localparam int unsigned LINE_PIXELS = 2048;
  localparam int unsigned LEVELS = 1 << 8;
  typedef logic [11:0] gain_t;
endpackage

module top
  import camera_pkg::LEVELS;
(
  input  logic        clk,
  input  logic        gain_en,
  input  logic        curve_en,
  input  logic [10:0] column,
  input  logic [11:0] wdata,
  input  logic [7:0]  level,
  output logic [11:0] gain,
  output logic [7:0]  bent
);
  camera_pkg::gain_t gains [camera_pkg::LINE_PIXELS];
  logic [7:0]        curve [LEVELS];

  logic [10:0] column_next;
  logic [7:0]  level_next;
  assign column_next = column + 1'b1;
  assign level_next  = level + 1'b1;

  always_ff @(posedge clk) begin
    if (gain_en) gains[column] <= wdata;
    if (curve_en) curve[level] <= wdata[7:0];
    gain <= gains[column_next];
    bent <= curve[level_next];
  end
endmodule
