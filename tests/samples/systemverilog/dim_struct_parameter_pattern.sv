// The struct parameter is overridden by a pattern written at the instance.
// expect: top.u_delay.ring 96x40 banks=1 ports=1rw clocks=top.clk read=synchronous
package delay_pkg;
  typedef struct packed {
    logic [15:0] words;
    logic [7:0]  width;
  } shape_t;
endpackage

module delay_line #(
  parameter delay_pkg::shape_t SHAPE = '{words: 16'd8, width: 8'd8}
) (
  input  logic                   clk,
  input  logic [6:0]             slot,
  input  logic [SHAPE.width-1:0] newest,
  output logic [SHAPE.width-1:0] oldest
);
  logic [SHAPE.width-1:0] ring [SHAPE.words];

  always_ff @(posedge clk) begin
    oldest     <= ring[slot];
    ring[slot] <= newest;
  end
endmodule

module top (
  input  logic        clk,
  input  logic [6:0]  slot,
  input  logic [39:0] newest,
  output logic [39:0] oldest
);
  delay_line #(.SHAPE('{words: 16'd96, width: 8'd40})) u_delay (.*);
endmodule
