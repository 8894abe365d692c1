// Two independent writes in one process, at different addresses.
// expect: top.latest 32x8 banks=1 ports=2w1r clocks=top.clk read=asynchronous
module top (
  input  logic       clk,
  input  logic       front_en,
  input  logic [4:0] front_lane,
  input  logic [7:0] front_class,
  input  logic       rear_en,
  input  logic [4:0] rear_lane,
  input  logic [7:0] rear_class,
  input  logic [4:0] lane,
  output logic [7:0] kind
);
  logic [7:0] latest [32];

  always_ff @(posedge clk) begin
    if (front_en) latest[front_lane] <= front_class;
    if (rear_en) latest[rear_lane] <= rear_class;
  end

  assign kind = latest[lane];
endmodule
