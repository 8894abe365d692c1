// Contents from a file whose name is a parameter, never written: a ROM.
// expect: top.classes 4096x6 banks=1 ports=1r clocks=top.clk read=synchronous
module top #(
  parameter string FILE = "classes.hex"
) (
  input  logic        clk,
  input  logic [11:0] colour,
  output logic [5:0]  kind
);
  logic [5:0] classes [4096];

  initial $readmemh(FILE, classes);

  always_ff @(posedge clk) kind <= classes[colour];
endmodule
