// One process per lane, made by a generate loop.
// expect: top.words 512x24 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic [2:0]  lane_en,
  input  logic [8:0]  wr_addr,
  input  logic [23:0] wr_colour,
  input  logic [8:0]  rd_addr,
  output logic [23:0] rd_colour
);
  logic [23:0] words [512];

  for (genvar k = 0; k < 3; k++) begin : g_lane
    always_ff @(posedge clk) begin
      if (lane_en[k]) words[wr_addr][8*k+7:8*k] <= wr_colour[8*k+7:8*k];
    end
  end

  always_ff @(posedge clk) rd_colour <= words[rd_addr];
endmodule
