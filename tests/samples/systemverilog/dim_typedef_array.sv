// The type is an array; the declaration itself shows no dimension.
// expect: top.front 512x12 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.both 1024x12 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic        side,
  input  logic [8:0]  wr_column,
  input  logic [11:0] wr_pixel,
  input  logic [8:0]  rd_column,
  output logic [11:0] front_pixel,
  output logic [11:0] both_pixel
);
  typedef logic [11:0] line_t [512];

  line_t front;
  line_t both [2];

  always_ff @(posedge clk) begin
    if (wr_en) begin
      front[wr_column]      <= wr_pixel;
      both[side][wr_column] <= wr_pixel;
    end
    front_pixel <= front[rd_column];
    both_pixel  <= both[side][rd_column];
  end
endmodule
