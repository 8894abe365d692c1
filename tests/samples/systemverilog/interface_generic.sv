// A module that takes any interface, and an interface with a parameter.
// expect: top.u_ring.ring 32x20 banks=1 ports=1rw clocks=top.clk read=synchronous
interface stream_if #(parameter int unsigned BITS = 8) (input logic clk);
  logic            valid;
  logic [BITS-1:0] data;
  logic [BITS-1:0] late;
endinterface

module ring_delay #(parameter int unsigned BITS = 8) (interface stream, input logic [4:0] slot);
  logic [BITS-1:0] ring [32];

  always_ff @(posedge stream.clk) begin
    if (stream.valid) begin
      stream.late <= ring[slot];
      ring[slot]  <= stream.data;
    end
  end
endmodule

module top (
  input  logic        clk,
  input  logic        valid,
  input  logic [19:0] data,
  input  logic [4:0]  slot,
  output logic [19:0] late
);
  stream_if #(.BITS(20)) pixels (.clk(clk));

  assign pixels.valid = valid;
  assign pixels.data  = data;
  assign late         = pixels.late;

  ring_delay #(.BITS(20)) u_ring (.stream(pixels), .slot(slot));
endmodule
