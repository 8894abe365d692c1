// Two halves named by constants on both sides.
// expect: top.halves 64x12 banks=2 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        front_en,
  input  logic        rear_en,
  input  logic [5:0]  wr_addr,
  input  logic [11:0] wr_word,
  input  logic [5:0]  rd_addr,
  output logic [11:0] front,
  output logic [11:0] rear
);
  logic [11:0] halves [2][64];

  always_ff @(posedge clk) begin
    if (front_en) halves[0][wr_addr] <= wr_word;
    if (rear_en) halves[1][wr_addr] <= wr_word;
    front <= halves[0][rd_addr];
    rear  <= halves[1][rd_addr];
  end
endmodule
