// Clearing and counting never happen at once: one write port with a choice of address.
// expect: top.counts 256x24 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        clearing,
  input  logic [7:0]  clear_bin,
  input  logic        counting,
  input  logic [7:0]  wr_bin,
  input  logic [23:0] wr_count,
  input  logic [7:0]  rd_bin,
  output logic [23:0] rd_count
);
  logic [23:0] counts [256];

  always_ff @(posedge clk) begin
    if (clearing) counts[clear_bin] <= '0;
    else if (counting) counts[wr_bin] <= wr_count;
    rd_count <= counts[rd_bin];
  end
endmodule
