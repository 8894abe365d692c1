// Sizes are fields of one parameter that is a struct.
// expect: top.u_stats.counters 128x20 banks=1 ports=1w1r clocks=top.clk read=synchronous
package stats_pkg;
  typedef struct packed {
    int unsigned COUNTERS;
    int unsigned COUNT_BITS;
  } config_t;

  localparam config_t SMALL = '{COUNTERS: 32, COUNT_BITS: 16};
  localparam config_t LARGE = '{COUNTERS: 128, COUNT_BITS: 20};
endpackage

module stats #(
  parameter stats_pkg::config_t P = stats_pkg::SMALL
) (
  input  logic                          clk,
  input  logic                          wr_en,
  input  logic [$clog2(P.COUNTERS)-1:0] wr_index,
  input  logic [P.COUNT_BITS-1:0]       wr_count,
  input  logic [$clog2(P.COUNTERS)-1:0] rd_index,
  output logic [P.COUNT_BITS-1:0]       rd_count
);
  logic [P.COUNT_BITS-1:0] counters [P.COUNTERS-1:0];

  always_ff @(posedge clk) begin
    if (wr_en) counters[wr_index] <= wr_count;
    rd_count <= counters[rd_index];
  end
endmodule

module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [6:0]  wr_index,
  input  logic [19:0] wr_count,
  input  logic [6:0]  rd_index,
  output logic [19:0] rd_count
);
  stats #(.P(stats_pkg::LARGE)) u_stats (.*);
endmodule
