// clk_a and clk_b join two levels up: one clock.
// expect: top.u_channel.u_ram.words 64x32 banks=1 ports=1w1r clocks=top.clk read=synchronous
module ram (
  input             clk_a,
  input             we_a,
  input      [5:0]  addr_a,
  input      [31:0] din_a,
  input             clk_b,
  input      [5:0]  addr_b,
  output reg [31:0] dout_b
);
  reg [31:0] words [0:63];

  always @(posedge clk_a) if (we_a) words[addr_a] <= din_a;
  always @(posedge clk_b) dout_b <= words[addr_b];
endmodule

module channel (
  input         wclk,
  input         rclk,
  input         we,
  input  [5:0]  wa,
  input  [31:0] wd,
  input  [5:0]  ra,
  output [31:0] rd
);
  ram u_ram (
    .clk_a(wclk), .we_a(we), .addr_a(wa), .din_a(wd), .clk_b(rclk), .addr_b(ra), .dout_b(rd)
  );
endmodule

module top (
  input         clk,
  input         we,
  input  [5:0]  wa,
  input  [31:0] wd,
  input  [5:0]  ra,
  output [31:0] rd
);
  channel u_channel (.wclk(clk), .rclk(clk), .we(we), .wa(wa), .wd(wd), .ra(ra), .rd(rd));
endmodule
