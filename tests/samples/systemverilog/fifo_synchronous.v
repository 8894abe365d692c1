// A whole FIFO on one clock with counters of its own.
// expect: top.items 32x24 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input             clk,
  input             rst,
  input             push,
  input      [23:0] in_item,
  input             pop,
  output reg [23:0] out_item,
  output            full,
  output            empty
);
  reg [23:0] items [0:31];
  reg [5:0]  head;
  reg [5:0]  tail;

  assign full  = (head - tail) == 6'd32;
  assign empty = head == tail;

  always @(posedge clk or posedge rst)
    if (rst) begin
      head <= 0;
      tail <= 0;
    end else begin
      if (push & ~full) head <= head + 1;
      if (pop & ~empty) tail <= tail + 1;
    end

  always @(posedge clk) begin
    if (push & ~full) items[head[4:0]] <= in_item;
    if (pop & ~empty) out_item <= items[tail[4:0]];
  end
endmodule
