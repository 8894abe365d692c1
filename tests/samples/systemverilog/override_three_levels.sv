// A depth travels down three levels and is doubled on the way.
// expect: top.u_camera.u_buffer.u_ram.mem 2048x10 banks=1 ports=1w1r clocks=top.pix_clk,top.proc_clk read=synchronous
module ram #(
  parameter int unsigned D = 4
) (
  input  logic       wr_clk, rd_clk, we,
  input  logic [$clog2(D)-1:0] wa, ra,
  input  logic [9:0] wd,
  output logic [9:0] rd
);
  logic [9:0] mem [D];

  always_ff @(posedge wr_clk) if (we) mem[wa] <= wd;
  always_ff @(posedge rd_clk) rd <= mem[ra];
endmodule

module buffer #(
  parameter int unsigned PIXELS = 16
) (
  input  logic        pix_clk, proc_clk, we,
  input  logic [$clog2(2*PIXELS)-1:0] wa, ra,
  input  logic [9:0]  wd,
  output logic [9:0]  rd
);
  ram #(.D(2 * PIXELS)) u_ram (.wr_clk(pix_clk), .rd_clk(proc_clk), .*);
endmodule

module camera #(
  parameter int unsigned COLUMNS = 8
) (
  input  logic        pix_clk, proc_clk, we,
  input  logic [10:0] wa, ra,
  input  logic [9:0]  wd,
  output logic [9:0]  rd
);
  buffer #(.PIXELS(COLUMNS)) u_buffer (.*);
endmodule

module top (
  input  logic        pix_clk, proc_clk, we,
  input  logic [10:0] wa, ra,
  input  logic [9:0]  wd,
  output logic [9:0]  rd
);
  camera #(.COLUMNS(1024)) u_camera (.*);
endmodule
