// The width is asked of a type.
// expect: top.records 32x21 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [4:0]  wr_index,
  input  logic [20:0] wr_record,
  input  logic [4:0]  rd_index,
  output logic [20:0] rd_record
);
  typedef struct packed {
    logic [10:0] column;
    logic [6:0]  valve;
    logic [2:0]  grain;
  } record_t;

  localparam int unsigned RECORD_BITS = $bits(record_t);

  logic [RECORD_BITS-1:0] records [32];

  always_ff @(posedge clk) begin
    if (wr_en) records[wr_index] <= wr_record;
    rd_record <= records[rd_index];
  end
endmodule
