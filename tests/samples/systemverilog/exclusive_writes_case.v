// Writes in the branches of a case are exclusive.
// expect: top.counts 64x16 banks=1 ports=1w1r clocks=top.clk read=asynchronous
module top (
  input         clk,
  input  [1:0]  state,
  input  [5:0]  clear_lane,
  input  [5:0]  lane,
  input  [5:0]  host_lane,
  input  [15:0] count,
  input  [15:0] host_count,
  input  [5:0]  rd_lane,
  output [15:0] rd_count
);
  reg [15:0] counts [0:63];

  always @(posedge clk)
    case (state)
      2'd0:    counts[clear_lane] <= 16'd0;
      2'd1:    counts[lane]       <= count;
      2'd2:    counts[host_lane]  <= host_count;
      default: ;
    endcase

  assign rd_count = counts[rd_lane];
endmodule
