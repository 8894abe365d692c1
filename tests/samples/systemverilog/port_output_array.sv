// A memory that is an output port is read by the parent, and by what the parent connects it to.
// expect: top.u_store.levels 64x8 banks=1 ports=1w2r clocks=top.clk read=synchronous
// expect: top.u_copy.kept 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect-not: top.words
// expect-not: top.u_view.words
// expect-not: top.copied
module store (
  input  logic       clk, we,
  input  logic [5:0] at,
  input  logic [7:0] d,
  output logic [7:0] levels [64]
);
  always_ff @(posedge clk) if (we) levels[at] <= d;
endmodule

module store_and_copy (
  input  logic       clk, we,
  input  logic [5:0] at,
  input  logic [7:0] d,
  output logic [7:0] levels [64]
);
  logic [7:0] kept [64];

  always_ff @(posedge clk) if (we) kept[at] <= d;

  assign levels = kept;
endmodule

module viewer (
  input  logic       clk,
  input  logic [5:0] at,
  input  logic [7:0] words [64],
  output logic [7:0] q
);
  always_ff @(posedge clk) q <= words[at];
endmodule

module top (
  input  logic       clk, we,
  input  logic [5:0] wr_at, rd_at, other,
  input  logic [7:0] d,
  output logic [7:0] q, r, s
);
  logic [7:0] words [64], copied [64];

  store u_store (.clk(clk), .we(we), .at(wr_at), .d(d), .levels(words));
  store_and_copy u_copy (.clk(clk), .we(we), .at(wr_at), .d(d), .levels(copied));
  viewer u_view (.clk(clk), .at(other), .words(words), .q(r));

  always_ff @(posedge clk) begin
    q <= words[rd_at];
    s <= copied[rd_at];
  end
endmodule
