// A case over a parameter picks the depth of the ring.
// expect: top.u_long.g_long.ring 1024x8 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.u_short.g_short.ring 32x8 banks=1 ports=1rw clocks=top.clk read=synchronous
module delay #(
  parameter int unsigned KIND = 0
) (
  input  logic       clk,
  input  logic [9:0] slot,
  input  logic [7:0] newest,
  output logic [7:0] oldest
);
  case (KIND)
    0, 1: begin : g_short
      logic [7:0] ring [32];
      always_ff @(posedge clk) begin
        oldest          <= ring[slot[4:0]];
        ring[slot[4:0]] <= newest;
      end
    end
    2: begin : g_long
      logic [7:0] ring [1024];
      always_ff @(posedge clk) begin
        oldest     <= ring[slot];
        ring[slot] <= newest;
      end
    end
    default: begin : g_none
      assign oldest = newest;
    end
  endcase
endmodule

module top (
  input  logic       clk,
  input  logic [9:0] slot,
  input  logic [7:0] newest,
  output logic [7:0] short_out,
  output logic [7:0] long_out,
  output logic [7:0] none_out
);
  delay #(.KIND(1)) u_short (.oldest(short_out), .*);
  delay #(.KIND(2)) u_long (.oldest(long_out), .*);
  delay #(.KIND(9)) u_none (.oldest(none_out), .*);
endmodule
