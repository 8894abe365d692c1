// A string parameter chooses between a table and a constant.
// expect: top.u_table.g_table.curve 256x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module gamma #(
  parameter string KIND = "LINEAR"
) (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [7:0] wr_level,
  input  logic [7:0] wr_bent,
  input  logic [7:0] level,
  output logic [7:0] bent
);
  if (KIND == "TABLE") begin : g_table
    logic [7:0] curve [256];

    always_ff @(posedge clk) begin
      if (wr_en) curve[wr_level] <= wr_bent;
      bent <= curve[level];
    end
  end else begin : g_linear
    assign bent = level;
  end
endmodule

module top (
  input  logic       clk,
  input  logic       wr_en,
  input  logic [7:0] wr_level,
  input  logic [7:0] wr_bent,
  input  logic [7:0] level,
  output logic [7:0] bent,
  output logic [7:0] straight
);
  gamma #(.KIND("TABLE")) u_table (.*);
  gamma u_linear (.bent(straight), .*);
endmodule
