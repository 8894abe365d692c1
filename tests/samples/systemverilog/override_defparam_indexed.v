// Defparams that reach into a generate loop and an array of instances.
// expect: top.lane[0].u_line.line 16x8 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.lane[1].u_line.line 200x8 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.valve[1].line 64x8 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.valve[0].line 16x8 banks=1 ports=1rw clocks=top.clk read=synchronous
module line_store (clk, we, addr, d, q);
  parameter DEPTH = 16;
  input        clk, we;
  input  [7:0] addr, d;
  output reg [7:0] q;
  reg [7:0] line [0:DEPTH-1];

  always @(posedge clk) begin
    if (we) line[addr] <= d;
    q <= line[addr];
  end
endmodule

module top (input clk, we, input [7:0] addr, d, output [7:0] q, output [15:0] r);
  genvar i;
  generate
    for (i = 0; i < 2; i = i + 1) begin : lane
      line_store u_line (clk, we, addr, d, q);
    end
  endgenerate

  line_store valve [1:0] (clk, we, addr, d, r);

  defparam lane[1].u_line.DEPTH = 200, valve[1].DEPTH = 64;
endmodule
