// A reset clears every word in a loop: no port, but no block can do it either.
// expect: top.latest 16x8 banks=1 ports=1w1r clocks=top.clk read=asynchronous
module top (
  input  logic       clk,
  input  logic       rst_n,
  input  logic       wr_en,
  input  logic [3:0] wr_lane,
  input  logic [7:0] wr_kind,
  input  logic [3:0] lane,
  output logic [7:0] kind
);
  logic [7:0] latest [16];

  always_ff @(posedge clk or negedge rst_n) begin
    if (!rst_n) begin
      for (int i = 0; i < 16; i++) latest[i] <= '0;
    end else if (wr_en) begin
      latest[wr_lane] <= wr_kind;
    end
  end

  assign kind = latest[lane];
endmodule
