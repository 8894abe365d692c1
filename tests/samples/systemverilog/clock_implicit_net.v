// Clocks on nets that nothing declares: an assignment and a connection do.
// expect: top.u_a.line 16x8 banks=1 ports=1rw clocks=top.pixel_clk read=synchronous
// expect: top.u_b.line 16x8 banks=1 ports=1rw clocks=top.pixel_clk read=synchronous
module buffer (input i, output o);
  assign o = i;
endmodule

module line_store (input clk, we, input [3:0] addr, input [7:0] d, output reg [7:0] q);
  reg [7:0] line [0:15];

  always @(posedge clk) begin
    if (we) line[addr] <= d;
    q <= line[addr];
  end
endmodule

module top (input pixel_clk, we, input [3:0] addr, input [7:0] d, output [7:0] q, r);
  assign clk_a = pixel_clk;
  buffer u_buffer (clk_a, clk_b);
  line_store u_a (clk_a, we, addr, d, q);
  line_store u_b (clk_b, we, addr, d, r);
endmodule
