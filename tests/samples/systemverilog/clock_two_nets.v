// A FIFO's array between the pixel clock and the processing clock.
// expect: top.words 16x12 banks=1 ports=1w1r clocks=top.pix_clk,top.proc_clk read=synchronous
module top (
  input             pix_clk,
  input             push,
  input      [3:0]  head,
  input      [11:0] in_pixel,
  input             proc_clk,
  input             pop,
  input      [3:0]  tail,
  output reg [11:0] out_pixel
);
  reg [11:0] words [0:15];

  always @(posedge pix_clk)
    if (push) words[head] <= in_pixel;

  always @(posedge proc_clk)
    if (pop) out_pixel <= words[tail];
endmodule
