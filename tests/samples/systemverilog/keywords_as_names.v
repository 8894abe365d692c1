// Words that only SystemVerilog reserves, as names in older code.
// expect: top.logic 64x8 banks=1 ports=1rw clocks=top.clk read=synchronous
module top (clk, we, bit, byte, do, priority);
  parameter int = 6;
  input                clk, we;
  input      [int-1:0] bit;
  input      [7:0]     byte;
  output reg [7:0]     do;
  input                priority;
  reg        [7:0]     logic [0:(1 << int)-1];
  reg                  final;

  always @(posedge clk) begin
    if (we & priority) logic[bit] <= byte;
    do    <= logic[bit];
    final <= we;
  end
endmodule
