// Members of a struct element written on their own: lanes of unequal width.
// expect: top.hits 64x12 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic       clk,
  input  logic       wr_valve_en,
  input  logic       wr_class_en,
  input  logic [5:0] wr_index,
  input  logic [7:0] wr_valve,
  input  logic [3:0] wr_class,
  input  logic [5:0] rd_index,
  output logic [7:0] rd_valve
);
  typedef struct packed {
    logic [7:0] valve;
    logic [3:0] grain;
  } hit_t;

  hit_t hits [64];
  hit_t seen;

  always_ff @(posedge clk) begin
    if (wr_valve_en) hits[wr_index].valve <= wr_valve;
    if (wr_class_en) hits[wr_index].grain <= wr_class;
    seen <= hits[rd_index];
  end

  assign rd_valve = seen.valve;
endmodule
