// A macro writes the declaration, pasting a name together.
// expect: top.front_line 512x12 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.rear_line 512x12 banks=1 ports=1w1r clocks=top.clk read=synchronous
`define LINE_STORE(side, words) logic [11:0] side``_line [words]

module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [8:0]  wr_column,
  input  logic [11:0] front_pixel,
  input  logic [11:0] rear_pixel,
  input  logic [8:0]  rd_column,
  output logic [11:0] front,
  output logic [11:0] rear
);
  `LINE_STORE(front, 512);
  `LINE_STORE(rear, 512);

  always_ff @(posedge clk) begin
    if (wr_en) begin
      front_line[wr_column] <= front_pixel;
      rear_line[wr_column]  <= rear_pixel;
    end
    front <= front_line[rd_column];
    rear  <= rear_line[rd_column];
  end
endmodule
