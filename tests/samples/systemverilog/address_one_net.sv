// Addresses in two instances that are one net above are one address: written and read at it, one port.
// expect: top.u_same.levels 64x8 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.u_apart.levels 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
interface table_if (input logic clk);
  logic [7:0] levels [64];
endinterface

module loader (table_if bus, input logic we, input logic [5:0] where, input logic [7:0] d);
  always_ff @(posedge bus.clk) if (we) bus.levels[where] <= d;
endmodule

module viewer (table_if bus, input logic [5:0] at, output logic [7:0] q);
  always_ff @(posedge bus.clk) q <= bus.levels[at];
endmodule

module top (
  input  logic       clk, we,
  input  logic [5:0] at, other,
  input  logic [7:0] d,
  output logic [7:0] q, r
);
  table_if u_same (.clk(clk));
  table_if u_apart (.clk(clk));

  loader u_load_same (.bus(u_same), .we(we), .where(at), .d(d));
  viewer u_view_same (.bus(u_same), .at(at), .q(q));
  // Two instances of one unit: the same port name is two nets.
  loader u_load_apart (.bus(u_apart), .we(we), .where(at), .d(d));
  viewer u_view_apart (.bus(u_apart), .at(other), .q(r));
endmodule
