// Standard attributes before the type, one with a value.
// expect: top.counts 256x24 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.flags 16x4 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input             clk,
  input             wr_en,
  input      [7:0]  wr_bin,
  input      [23:0] wr_count,
  input      [7:0]  rd_bin,
  output reg [23:0] rd_count,
  output reg [3:0]  rd_flag
);
  (* synthesis, ram_block *) reg [23:0] counts [0:255];
  (* synthesis, logic_block = 1 *)
  reg [3:0] flags [0:15];

  always @(posedge clk) begin
    if (wr_en) begin
      counts[wr_bin]     <= wr_count;
      flags[wr_bin[3:0]] <= wr_count[3:0];
    end
    rd_count <= counts[rd_bin];
    rd_flag  <= flags[rd_bin[3:0]];
  end
endmodule
