// Two units both call their clock `clk`; one is the camera's, the other is not.
// expect: top.u_store.words 64x8 banks=1 ports=1w1r clocks=top.cam_clk,top.proc_clk read=synchronous
module store (
  input  logic       clk,
  input  logic       we,
  input  logic [5:0] wa,
  input  logic [7:0] wd,
  input  logic [5:0] ra,
  output logic [7:0] word
);
  logic [7:0] words [64];

  always_ff @(posedge clk) if (we) words[wa] <= wd;

  assign word = words[ra];
endmodule

module reader (input logic clk, input logic [7:0] word, output logic [7:0] rd);
  always_ff @(posedge clk) rd <= word;
endmodule

module top (
  input  logic       cam_clk,
  input  logic       proc_clk,
  input  logic       we,
  input  logic [5:0] wa,
  input  logic [7:0] wd,
  input  logic [5:0] ra,
  output logic [7:0] rd
);
  logic [7:0] word;

  store u_store (.clk(cam_clk), .*);
  reader u_reader (.clk(proc_clk), .*);
endmodule
