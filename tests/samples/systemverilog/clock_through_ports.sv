// Three levels rename the clock; a unit passes it through from port to port.
// expect: top.u_path.u_store.words 64x8 banks=1 ports=1w1r clocks=top.proc_clk read=synchronous
module clock_pass (input logic root, output logic leaf);
  assign leaf = root;
endmodule

module store (
  input  logic       ck,
  input  logic       rk,
  input  logic       we,
  input  logic [5:0] wa,
  input  logic [7:0] wd,
  input  logic [5:0] ra,
  output logic [7:0] rd
);
  logic [7:0] words [64];

  always_ff @(posedge ck) if (we) words[wa] <= wd;
  always_ff @(posedge rk) rd <= words[ra];
endmodule

module path (
  input  logic       c,
  input  logic       we,
  input  logic [5:0] wa,
  input  logic [7:0] wd,
  input  logic [5:0] ra,
  output logic [7:0] rd
);
  logic passed;

  clock_pass u_pass (.root(c), .leaf(passed));
  store u_store (.ck(c), .rk(passed), .*);
endmodule

module top (
  input  logic       proc_clk,
  input  logic       we,
  input  logic [5:0] wa,
  input  logic [7:0] wd,
  input  logic [5:0] ra,
  output logic [7:0] rd
);
  path u_path (.c(proc_clk), .*);
endmodule
