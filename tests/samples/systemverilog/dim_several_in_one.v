// One statement declares two memories of different depth and a plain register.
// expect: top.front 16x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.rear 32x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input            clk,
  input            wr_en,
  input      [4:0] wr_index,
  input      [7:0] wr_level,
  input      [4:0] rd_index,
  output     [7:0] level
);
  reg [7:0] front [0:15], rear [0:31], front_level;
  reg [7:0] rear_level;

  always @(posedge clk) begin
    if (wr_en) begin
      front[wr_index[3:0]] <= wr_level;
      rear[wr_index]       <= wr_level;
    end
    front_level <= front[rd_index[3:0]];
    rear_level  <= rear[rd_index];
  end

  assign level = front_level ^ rear_level;
endmodule
