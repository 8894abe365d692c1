// An array declared in an interface belongs to the interface instance; the units connected to it access it.
// expect: top.u_left.levels 256x8 banks=1 ports=1w1r clocks=top.camera_clk,top.clk read=synchronous
// expect: top.u_right.levels 256x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.u_each[0].levels 256x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.u_each[1].levels 256x8 banks=1 ports=1w1r clocks=top.camera_clk,top.clk read=synchronous
interface table_if (input logic clk);
  logic [7:0] levels [0:255];

  modport writer (ref levels, input clk);
  modport reader (input levels, input clk);
endinterface

module loader (table_if.writer bus, input logic we, input logic [7:0] at, d);
  always_ff @(posedge bus.clk) if (we) bus.levels[at] <= d;
endmodule

module viewer (table_if.reader bus, input logic clk, input logic [7:0] at, output logic [7:0] q);
  always_ff @(posedge clk) q <= bus.levels[at];
endmodule

module top (
  input  logic       clk, camera_clk, we,
  input  logic [7:0] wr_at, rd_at, d,
  output logic [7:0] q [4]
);
  logic    clks [2];
  table_if u_left (.clk(camera_clk));
  table_if u_right (.clk(clk));
  table_if u_each [2] (.clk(clks));

  assign clks = '{clk, camera_clk};

  loader u_load_left (.bus(u_left.writer), .we(we), .at(wr_at), .d(d));
  viewer u_view_left (.bus(u_left), .clk(clk), .at(rd_at), .q(q[0]));
  viewer u_view_right (.bus(u_right), .clk(clk), .at(rd_at), .q(q[1]));

  always_ff @(posedge clk) if (we) u_right.levels[wr_at] <= d;

  for (genvar i = 0; i < 2; i++) begin : each
    loader u_load (.bus(u_each[i]), .we(we), .at(wr_at), .d(d));
    viewer u_view (.bus(u_each[i]), .clk(clk), .at(rd_at), .q(q[2+i]));
  end
endmodule
