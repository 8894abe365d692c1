// An array of instances: each has a memory; ports as wide as the array are shared out.
// expect: top.u_lane[0].words 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.u_lane[1].words 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.u_lane[2].words 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module lane (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [5:0] wr_addr,
  input  logic [7:0] wr_word,
  input  logic [5:0] rd_addr,
  output logic [7:0] rd_word
);
  logic [7:0] words [64];

  always_ff @(posedge clk) begin
    if (wr_en) words[wr_addr] <= wr_word;
    rd_word <= words[rd_addr];
  end
endmodule

module top (
  input  logic            clk,
  input  logic [2:0]      wr_en,
  input  logic [5:0]      wr_addr,
  input  logic [7:0]      wr_word,
  input  logic [5:0]      rd_addr,
  output logic [2:0][7:0] rd_word
);
  lane u_lane [3] (
    .clk(clk), .wr_en(wr_en), .wr_addr(wr_addr), .wr_word(wr_word), .rd_addr(rd_addr),
    .rd_word(rd_word)
  );
endmodule
