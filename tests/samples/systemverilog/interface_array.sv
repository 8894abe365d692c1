// An array of interfaces, connected one by one in a generate loop and all at once to an array of instances.
// expect: top.each[0].u_line.line 128x9 banks=1 ports=1rw clocks=top.clks[0] read=synchronous
// expect: top.each[1].u_line.line 128x9 banks=1 ports=1rw clocks=top.clks[1] read=synchronous
// expect: top.u_all[0].line 128x9 banks=1 ports=1rw clocks=top.clks[0] read=synchronous
// expect: top.u_all[1].line 128x9 banks=1 ports=1rw clocks=top.clks[1] read=synchronous
interface camera_if #(parameter int ADDR = 4, BITS = 8) (input logic clk);
  logic            write;
  logic [ADDR-1:0] column;
  logic [BITS-1:0] pixel, shown;
endinterface

module line_store (camera_if bus);
  logic [bus.BITS-1:0] line [2**bus.ADDR];

  always_ff @(posedge bus.clk) begin
    if (bus.write) line[bus.column] <= bus.pixel;
    bus.shown <= line[bus.column];
  end
endmodule

module top (input logic clks [2]);
  camera_if #(7, 9) cameras [2] (.clk(clks));

  for (genvar i = 0; i < 2; i++) begin : each
    line_store u_line (.bus(cameras[i]));
  end

  line_store u_all [2] (.bus(cameras));
endmodule
