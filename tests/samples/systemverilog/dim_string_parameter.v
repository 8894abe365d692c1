// The same choice by an untyped parameter that holds text.
// expect: top.u_table.g_table.curve 128x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module gamma #(
  parameter KIND = "NONE"
) (
  input            clk,
  input            wr_en,
  input      [6:0] wr_level,
  input      [7:0] wr_bent,
  input      [6:0] level,
  output reg [7:0] bent
);
  generate
    if (KIND != "NONE") begin : g_table
      reg [7:0] curve [0:127];

      always @(posedge clk) begin
        if (wr_en) curve[wr_level] <= wr_bent;
        bent <= curve[level];
      end
    end else begin : g_none
      always @* bent = {1'b0, level};
    end
  endgenerate
endmodule

module top (
  input        clk,
  input        wr_en,
  input  [6:0] wr_level,
  input  [7:0] wr_bent,
  input  [6:0] level,
  output [7:0] bent
);
  gamma #(.KIND("TABLE")) u_table (
    .clk(clk), .wr_en(wr_en), .wr_level(wr_level), .wr_bent(wr_bent), .level(level), .bent(bent)
  );
endmodule
