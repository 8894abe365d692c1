// A register file whose words are wired to an array of their own, word 0 to a constant: indexing the
// copy reads the words behind it.
// expect: top.word_q 1x8 banks=15 ports=1w1r clocks=top.clk read=asynchronous
// expect: top.level_q 1x8 banks=16 ports=1w1r clocks=top.clk read=asynchronous
module top (
  input  logic       clk, we,
  input  logic [3:0] wr_at, rd_at,
  input  logic [7:0] d,
  output logic [7:0] q, r
);
  logic [15:1][7:0] word_q;
  logic [15:0][7:0] word;
  logic [7:0]       level_q [16];
  logic [7:0]       level [16];

  for (genvar i = 1; i < 16; i++) begin : store
    always_ff @(posedge clk) if (we && wr_at == i) word_q[i] <= d;
  end

  assign word[0]    = 8'd0;
  assign word[15:1] = word_q[15:1];
  assign q          = word[rd_at];

  for (genvar i = 0; i < 16; i++) begin : levels
    always_ff @(posedge clk) if (we && wr_at == i) level_q[i] <= d;
    assign level[i] = level_q[i];
  end

  assign r = level[rd_at];
endmodule
