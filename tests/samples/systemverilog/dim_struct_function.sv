// Parameters filled field by field in a constant function; one field is never set, and nothing reads it.
// expect: top.u_line.line 48x14 banks=1 ports=1rw clocks=top.clk read=synchronous
package sorter_pkg;
  typedef struct packed {
    int unsigned columns;
    int unsigned bits;
  } camera_t;

  typedef struct packed {
    camera_t    camera;
    logic       binning;
    logic [7:0] spare;
  } config_t;

  function automatic config_t build(int unsigned columns);
    config_t made;
    made.camera.columns = columns;
    made.camera.bits    = columns > 32 ? 14 : 8;
    made.binning        = 1'b0;
    return made;
  endfunction
endpackage

module line_store import sorter_pkg::*; #(parameter config_t C = '0) (
  input  logic                     clk, we,
  input  logic [5:0]               column,
  input  logic [C.camera.bits-1:0] d,
  output logic [C.camera.bits-1:0] q
);
  logic [C.camera.bits-1:0] line [C.camera.columns << C.binning];

  always_ff @(posedge clk) begin
    if (we) line[column] <= d;
    q <= line[column];
  end
endmodule

module top (input logic clk, we, input logic [5:0] column, input logic [13:0] d, output logic [13:0] q);
  localparam sorter_pkg::config_t C = sorter_pkg::build(48);
  line_store #(.C(C)) u_line (.*);
endmodule
