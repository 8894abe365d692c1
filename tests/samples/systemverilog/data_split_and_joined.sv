// The word is cut into members and put together with other bits before its registers.
// expect: top.hits 64x12 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [5:0]  wr_index,
  input  logic [11:0] wr_hit,
  input  logic [5:0]  rd_index,
  output logic [7:0]  valve,
  output logic [7:0]  marked
);
  logic [11:0] hits [64];
  logic [11:0] hit;

  assign hit = hits[rd_index];

  always_ff @(posedge clk) begin
    if (wr_en) hits[wr_index] <= wr_hit;
    valve  <= hit[11:4];
    marked <= {4'hA, hit[3:0]};
  end
endmodule
