// A table per camera in a named loop; the deeper one belongs to the second camera.
// expect: top.g_camera[0].table_q 128x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.g_camera[1].table_q 256x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic            clk,
  input  logic [1:0]      wr_en,
  input  logic [7:0]      wr_level,
  input  logic [7:0]      wr_value,
  input  logic [1:0][7:0] level,
  output logic [1:0][7:0] value
);
  for (genvar c = 0; c < 2; c++) begin : g_camera
    localparam int unsigned LEVELS = 128 << c;

    logic [7:0] table_q [LEVELS];

    always_ff @(posedge clk) begin
      if (wr_en[c]) table_q[wr_level] <= wr_value;
      value[c] <= table_q[level[c]];
    end
  end
endmodule
