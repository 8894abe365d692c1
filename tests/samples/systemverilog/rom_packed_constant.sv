// A packed constant, indexed: a ROM of eight words.
// expect: top.ORDER 8x3 banks=1 ports=1r clocks=- read=asynchronous
module top (
  input  logic [2:0] valve,
  output logic [2:0] place
);
  localparam logic [7:0][2:0] ORDER = {3'd7, 3'd5, 3'd3, 3'd1, 3'd6, 3'd4, 3'd2, 3'd0};

  assign place = ORDER[valve];
endmodule
