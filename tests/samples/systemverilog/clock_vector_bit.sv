// A clock per camera in one vector, taken apart by a generate loop.
// expect: top.g_camera[0].words 64x8 banks=1 ports=1w1r clocks=top.cam_clk[0],top.clk read=synchronous
// expect: top.g_camera[1].words 64x8 banks=1 ports=1w1r clocks=top.cam_clk[1],top.clk read=synchronous
module top (
  input  logic [1:0]      cam_clk,
  input  logic            clk,
  input  logic [1:0]      wr_en,
  input  logic [5:0]      wr_addr,
  input  logic [7:0]      wr_word,
  input  logic [5:0]      rd_addr,
  output logic [1:0][7:0] rd_word
);
  for (genvar c = 0; c < 2; c++) begin : g_camera
    logic [7:0] words [64];

    always_ff @(posedge cam_clk[c]) if (wr_en[c]) words[wr_addr] <= wr_word;
    always_ff @(posedge clk) rd_word[c] <= words[rd_addr];
  end
endmodule
