// Streamed from left to right, parts join as they stand.
// expect: top.red 64x8 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.nir 64x8 banks=1 ports=1rw clocks=top.clk read=synchronous
module top (
  input  logic        clk, we,
  input  logic [5:0]  addr,
  input  logic [15:0] d,
  output logic [15:0] q
);
  logic [7:0] red [64], nir [64];

  always_ff @(posedge clk) begin
    if (we) {>>{red[addr], nir[addr]}} <= d;
    q <= {red[addr], nir[addr]};
  end
endmodule
