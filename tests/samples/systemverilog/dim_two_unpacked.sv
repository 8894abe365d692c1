// Two halves of a line buffer, both dimensions indexed by signals: one memory of all words.
// expect: top.lines 1024x12 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic        half,
  input  logic [8:0]  wr_column,
  input  logic [11:0] wr_pixel,
  input  logic [8:0]  rd_column,
  output logic [11:0] rd_pixel
);
  logic [11:0] lines [2][512];

  always_ff @(posedge clk) begin
    if (wr_en) lines[half][wr_column] <= wr_pixel;
    rd_pixel <= lines[!half][rd_column];
  end
endmodule
