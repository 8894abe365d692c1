// The depth depends on one-bit parameters.
// expect: top.u_deep.labels 1024x9 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.u_flat.labels 64x9 banks=1 ports=1w1r clocks=top.clk read=synchronous
module label_store #(
  parameter bit DEEP = 1'b0,
  parameter bit WIDE = 1'b1
) (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [9:0] wr_index,
  input  logic [8:0] wr_label,
  input  logic [9:0] rd_index,
  output logic [8:0] rd_label
);
  localparam int unsigned WORDS = DEEP ? (WIDE ? 1024 : 512) : 64;

  logic [8:0] labels [WORDS];

  always_ff @(posedge clk) begin
    if (wr_en) labels[wr_index] <= wr_label;
    rd_label <= labels[rd_index];
  end
endmodule

module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [9:0] wr_index,
  input  logic [8:0] wr_label,
  input  logic [9:0] rd_index,
  output logic [8:0] deep_label,
  output logic [8:0] flat_label
);
  label_store #(.DEEP(1'b1)) u_deep (.rd_label(deep_label), .*);
  label_store u_flat (.rd_label(flat_label), .*);
endmodule
