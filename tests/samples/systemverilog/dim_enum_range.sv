// A range between two literals, elements of the enumeration's own type.
// expect: top.latest 4x2 banks=1 ports=1w1r clocks=top.clk read=asynchronous
module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [1:0] wr_lane,
  input  logic [1:0] wr_kind,
  input  logic [1:0] rd_lane,
  output logic [1:0] rd_kind
);
  typedef enum logic [1:0] {FRONT, REAR, LEFT, RIGHT} side_t;

  side_t latest [FRONT:RIGHT];

  always_ff @(posedge clk) begin
    if (wr_en) latest[wr_lane] <= side_t'(wr_kind);
  end

  assign rd_kind = latest[rd_lane];
endmodule
