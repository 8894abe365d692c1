// A packed array of structs has one packed dimension: a vector of fields.
// expect-not: top.queue
module top (
  input  logic       clk, we,
  input  logic [3:0] slot,
  input  logic [7:0] d,
  output logic [7:0] q
);
  typedef struct packed { logic [3:0] valve; logic [3:0] delay; } shot_t;
  shot_t [15:0] queue;

  always_ff @(posedge clk) begin
    if (we) queue[slot] <= d;
    q <= queue[slot];
  end
endmodule
