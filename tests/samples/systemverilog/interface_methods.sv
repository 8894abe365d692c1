// Tasks and functions of an interface, called through a port and through the instance.
// expect: top.u_bus.levels 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
interface table_if (input logic clk);
  logic [7:0] levels [64];

  task automatic put(input logic [5:0] at, input logic [7:0] what);
    levels[at] <= what;
  endtask

  function automatic logic [7:0] level(input logic [5:0] at);
    return levels[at];
  endfunction
endinterface

module loader (table_if bus, input logic we, input logic [5:0] at, input logic [7:0] d);
  always_ff @(posedge bus.clk) if (we) bus.put(at, d);
endmodule

module top (
  input  logic       clk, we,
  input  logic [5:0] wr_at, rd_at,
  input  logic [7:0] d,
  output logic [7:0] q
);
  table_if u_bus (.clk(clk));
  loader   u_load (.bus(u_bus), .we(we), .at(wr_at), .d(d));

  always_ff @(posedge clk) q <= u_bus.level(rd_at);
endmodule
