// The element type is a parameter, overridden by a struct.
// expect: top.u_queue.items 16x19 banks=1 ports=1w1r clocks=top.clk read=synchronous
module item_queue #(
  parameter type T = logic [7:0],
  parameter int unsigned LOG = 3
) (
  input  logic           clk,
  input  logic           push,
  input  logic [LOG-1:0] head,
  input  T               in_item,
  input  logic [LOG-1:0] tail,
  output T               out_item
);
  T items [2**LOG];

  always_ff @(posedge clk) begin
    if (push) items[head] <= in_item;
    out_item <= items[tail];
  end
endmodule

module top (
  input  logic        clk,
  input  logic        push,
  input  logic [3:0]  head,
  input  logic [18:0] in_hit,
  input  logic [3:0]  tail,
  output logic [18:0] out_hit
);
  typedef struct packed {
    logic [10:0] column;
    logic [7:0]  level;
  } hit_t;

  item_queue #(.T(hit_t), .LOG(4)) u_queue (
    .clk(clk), .push(push), .head(head), .in_item(in_hit), .tail(tail), .out_item(out_hit)
  );
endmodule
