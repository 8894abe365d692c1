// An array of wires driven by instances, picked by index.
// expect-not: top.levels
module adder (input [7:0] a, input [7:0] b, output [7:0] y);
  assign y = a + b;
endmodule

module top (
  input  [7:0] base,
  input  [1:0] lane,
  output [7:0] level
);
  wire [7:0] levels [0:3];

  genvar i;
  generate
    for (i = 0; i < 4; i = i + 1) begin : g_lane
      adder u_adder (.a(base), .b(i), .y(levels[i]));
    end
  endgenerate

  assign level = levels[lane];
endmodule
