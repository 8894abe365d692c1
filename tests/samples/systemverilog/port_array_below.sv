// Arrays connected to ports of instances: what is done inside counts for the array above.
// expect: top.words 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.shared 64x8 banks=1 ports=1w1r clocks=top.clk,top.other_clk read=synchronous
// expect: top.halves 64x8 banks=2 ports=1w1r clocks=top.clk read=synchronous
// expect-not: top.u_middle.words
// expect-not: top.u_middle.u_view.words
// expect-not: top.u_load.levels
// expect-not: top.each[0].u_view.words
module viewer (
  input  logic       clk,
  input  logic [5:0] at,
  input  logic [7:0] words [64],
  output logic [7:0] q
);
  always_ff @(posedge clk) q <= words[at];
endmodule

module middle (
  input  logic       clk,
  input  logic [5:0] at,
  input  logic [7:0] words [64],
  output logic [7:0] q
);
  viewer u_view (.*);
endmodule

module loader (
  input logic       clk, we,
  input logic [5:0] at,
  input logic [7:0] d,
  ref   logic [7:0] levels [64]
);
  always_ff @(posedge clk) if (we) levels[at] <= d;
endmodule

module top (
  input  logic       clk, other_clk, we, half,
  input  logic [5:0] wr_at, rd_at,
  input  logic [7:0] d,
  output logic [7:0] q, r, s [2]
);
  logic [7:0] words [64];
  logic [7:0] shared [64];
  logic [7:0] halves [2][64];

  always_ff @(posedge clk) begin
    if (we) words[wr_at] <= d;
    if (we) halves[half][wr_at] <= d;
    r <= shared[rd_at];
  end

  middle u_middle (.clk(clk), .at(rd_at), .words(words), .q(q));
  loader u_load (.clk(other_clk), .we(we), .at(wr_at), .d(d), .levels(shared));

  for (genvar i = 0; i < 2; i++) begin : each
    viewer u_view (.clk(clk), .at(rd_at), .words(halves[i]), .q(s[i]));
  end
endmodule
