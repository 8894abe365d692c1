// Shapes that only the interface behind a port tells: its parameter, the width of its signals.
// expect: top.u_levels.levels 32x12 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.u_rejects.rejects 64x8 banks=1 ports=1rw clocks=top.clk read=synchronous
interface camera_if #(parameter int ADDR = 4, BITS = 8) (input logic clk);
  logic            write;
  logic [ADDR-1:0] column;
  logic [BITS-1:0] pixel;
  logic [BITS-1:0] shown;

  modport store (input clk, write, column, pixel, output shown);
endinterface

module level_table (camera_if.store bus);
  localparam int WIDTH = $bits(bus.pixel);
  logic [WIDTH-1:0] levels [2**$bits(bus.column)];

  always_ff @(posedge bus.clk) begin
    if (bus.write) levels[bus.column] <= bus.pixel;
    bus.shown <= levels[bus.column];
  end
endmodule

module reject_table (input logic flush, camera_if bus);
  logic [bus.BITS-1:0] rejects [1 << bus.ADDR];

  always_ff @(posedge bus.clk) begin
    if (bus.write && !flush) rejects[bus.column] <= bus.pixel;
    bus.shown <= rejects[bus.column];
  end
endmodule

module top (input logic clk, flush);
  level_table  u_levels  (.bus(red));
  reject_table u_rejects (flush, nir.store);

  camera_if #(5, 12)    red (clk);
  camera_if #(.ADDR(6)) nir (.clk);
endmodule
