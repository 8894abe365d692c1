// A table written as a case has no array: nothing to place.
module top (
  input            clk,
  input      [2:0] grain,
  output reg [3:0] pulse
);
  always @(posedge clk)
    case (grain)
      3'd0:    pulse <= 4'd0;
      3'd1:    pulse <= 4'd2;
      3'd3:    pulse <= 4'd9;
      3'd5:    pulse <= 4'd12;
      default: pulse <= 4'd4;
    endcase
endmodule
