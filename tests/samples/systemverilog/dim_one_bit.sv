// A flag per column: words of one bit have no range at all.
// expect: top.dead 2048x1 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [10:0] wr_column,
  input  logic        wr_dead,
  input  logic [10:0] rd_column,
  output logic        rd_dead
);
  logic dead [2048];

  always_ff @(posedge clk) begin
    if (wr_en) dead[wr_column] <= wr_dead;
    rd_dead <= dead[rd_column];
  end
endmodule
