// Three banks for three colours: read by a loop that is unrolled, written by number.
// expect: top.planes 512x8 banks=3 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic            clk,
  input  logic            wr_en,
  input  logic [1:0]      wr_plane,
  input  logic [8:0]      wr_column,
  input  logic [7:0]      wr_level,
  input  logic [8:0]      rd_column,
  output logic [2:0][7:0] rd_colour
);
  logic [7:0] planes [3][512];

  always_ff @(posedge clk) begin
    if (wr_en) planes[wr_plane][wr_column] <= wr_level;
    for (int k = 0; k < 3; k++) rd_colour[k] <= planes[k][rd_column];
  end
endmodule
