// Every bit has an enable of its own.
// expect: top.masks 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic       clk,
  input  logic [7:0] bit_en,
  input  logic [5:0] wr_addr,
  input  logic [7:0] wr_mask,
  input  logic [5:0] rd_addr,
  output logic [7:0] rd_mask
);
  logic [7:0] masks [64];

  always_ff @(posedge clk) begin
    foreach (bit_en[i]) begin
      if (bit_en[i]) masks[wr_addr][i] <= wr_mask[i];
    end
    rd_mask <= masks[rd_addr];
  end
endmodule
