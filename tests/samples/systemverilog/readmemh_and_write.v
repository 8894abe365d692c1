// Contents from a file at power-up, rewritten by the host.
// expect: top.classes 1024x6 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input            clk,
  input            wr_en,
  input      [9:0] wr_colour,
  input      [5:0] wr_kind,
  input      [9:0] colour,
  output reg [5:0] kind
);
  reg [5:0] classes [0:1023];

  initial $readmemh("classes.hex", classes);

  always @(posedge clk) begin
    if (wr_en) classes[wr_colour] <= wr_kind;
    kind <= classes[colour];
  end
endmodule
