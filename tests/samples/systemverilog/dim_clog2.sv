// The depth is rounded up to a power of two, the width is what counts that far.
// expect: top.u_free.slots 128x7 banks=1 ports=1w1r clocks=top.clk read=synchronous
module slot_list #(
  parameter int unsigned FRAMES = 100,
  localparam int unsigned BITS = $clog2(FRAMES)
) (
  input  logic            clk,
  input  logic            give,
  input  logic [BITS-1:0] give_at,
  input  logic [BITS-1:0] give_slot,
  input  logic [BITS-1:0] take_at,
  output logic [BITS-1:0] take_slot
);
  logic [BITS-1:0] slots [2**$clog2(FRAMES)];

  always_ff @(posedge clk) begin
    if (give) slots[give_at] <= give_slot;
    take_slot <= slots[take_at];
  end
endmodule

module top (
  input  logic       clk,
  input  logic       give,
  input  logic [6:0] give_at,
  input  logic [6:0] give_slot,
  input  logic [6:0] take_at,
  output logic [6:0] take_slot
);
  slot_list u_free (.*);
endmodule
