// Words of four lanes: the packed inner dimension belongs to the word.
// expect: top.frame 256x32 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic            clk,
  input  logic [3:0]      wr_lane,
  input  logic [7:0]      wr_addr,
  input  logic [3:0][7:0] wr_data,
  input  logic [7:0]      rd_addr,
  output logic [3:0][7:0] rd_data
);
  logic [3:0][7:0] frame [256];

  always_ff @(posedge clk) begin
    for (int lane = 0; lane < 4; lane++) begin
      if (wr_lane[lane]) frame[wr_addr][lane] <= wr_data[lane];
    end
    rd_data <= frame[rd_addr];
  end
endmodule
