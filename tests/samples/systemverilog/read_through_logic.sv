// An addition stands between the word and its register.
// expect: top.offsets 128x10 banks=1 ports=1w1r clocks=top.clk read=asynchronous
module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [6:0]  wr_column,
  input  logic [9:0]  wr_offset,
  input  logic [6:0]  column,
  input  logic [9:0]  level,
  output logic [10:0] corrected
);
  logic [9:0] offsets [128];

  always_ff @(posedge clk) begin
    if (wr_en) offsets[wr_column] <= wr_offset;
    corrected <= level + offsets[column];
  end
endmodule
