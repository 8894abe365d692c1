// A shifting array with a movable tap: every word is written each cycle, one is read by index.
// The next stage takes a word on the clock, the tap takes it without: two reads of a stage.
// expect: top.stages 1x8 banks=16 ports=1w2r clocks=top.clk read=asynchronous
module top (
  input  logic       clk,
  input  logic [3:0] tap,
  input  logic [7:0] level,
  output logic [7:0] late
);
  logic [7:0] stages [16];

  always_ff @(posedge clk) begin
    for (int s = 15; s > 0; s--) stages[s] <= stages[s-1];
    stages[0] <= level;
  end

  assign late = stages[tap];
endmodule
