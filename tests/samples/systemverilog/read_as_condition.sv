// The word decides whether something else happens: it reaches an enable, not data.
// expect: top.dead 128x1 banks=1 ports=1w1r clocks=top.clk read=asynchronous
module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [6:0] wr_column,
  input  logic       wr_dead,
  input  logic [6:0] column,
  input  logic [9:0] level,
  output logic [9:0] kept
);
  logic [0:0] dead [128];

  always_ff @(posedge clk) begin
    if (wr_en) dead[wr_column] <= wr_dead;
    if (!dead[column]) kept <= level;
  end
endmodule
