// The reset is an assignment pattern; foreach does the same elsewhere.
// expect: top.latest 16x8 banks=1 ports=1w1r clocks=top.clk read=asynchronous
// expect: top.counts 16x8 banks=1 ports=1w1r clocks=top.clk read=asynchronous
module top (
  input  logic       clk,
  input  logic       rst_n,
  input  logic       wr_en,
  input  logic [3:0] wr_lane,
  input  logic [7:0] wr_kind,
  input  logic [3:0] lane,
  output logic [7:0] kind,
  output logic [7:0] count
);
  logic [7:0] latest [16];
  logic [7:0] counts [16];

  always_ff @(posedge clk or negedge rst_n) begin
    if (!rst_n) begin
      latest <= '{default: '0};
      foreach (counts[i]) counts[i] <= 8'd1;
    end else if (wr_en) begin
      latest[wr_lane] <= wr_kind;
      counts[wr_lane] <= wr_kind;
    end
  end

  assign kind  = latest[lane];
  assign count = counts[lane];
endmodule
