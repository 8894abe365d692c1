// Camera, line and column, of a pixel that is a struct of its own type.
// expect: top.store 4096x24 banks=1 ports=1w1r clocks=top.clk read=synchronous
package grain_pkg;
  typedef struct packed {
    logic [7:0] red;
    logic [7:0] green;
    logic [7:0] blue;
  } colour_t;
endpackage

module top
  import grain_pkg::*;
(
  input  logic       clk,
  input  logic       wr_en,
  input  logic       camera,
  input  logic [2:0] line,
  input  logic [7:0] column,
  input  colour_t    wr_colour,
  input  logic [7:0] rd_column,
  output colour_t    rd_colour
);
  colour_t store [2][8][256];

  always_ff @(posedge clk) begin
    if (wr_en) store[camera][line][column] <= wr_colour;
    rd_colour <= store[camera][line][rd_column];
  end
endmodule
