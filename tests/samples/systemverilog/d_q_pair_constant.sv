// A next-state pair whose only write sets a bit: a constant, but no clearing.
// expect: top.valid_q 64x2 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic       clk, rst_n, flush, set,
  input  logic [5:0] wr_line, rd_line,
  input  logic [1:0] way,
  output logic [1:0] valid
);
  logic [63:0][1:0] valid_q, valid_d;

  always_comb begin
    valid_d = valid_q;
    if (flush) valid_d = '0;
    else if (set)
      for (int i = 0; i < 2; i++)
        if (way[i]) valid_d[wr_line][i] = 1'b1;
  end

  always_ff @(posedge clk or negedge rst_n) begin
    if (!rst_n) valid_q <= '0;
    else valid_q <= valid_d;
  end

  always_ff @(posedge clk) valid <= valid_q[rd_line];
endmodule
