// A macro swaps the array for a module it names itself; the array is not there.
// expect: top.u_line.words 512x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
`define LINE_STORE soft_line_store
`define SWAP

module soft_line_store (
  input            ck,
  input            we,
  input      [8:0] wa,
  input      [7:0] d,
  input      [8:0] ra,
  output reg [7:0] q
);
  reg [7:0] words [0:511];

  always @(posedge ck) begin
    if (we) words[wa] <= d;
    q <= words[ra];
  end
endmodule

module top (
  input        clk,
  input        wr_en,
  input  [8:0] wr_column,
  input  [7:0] wr_pixel,
  input  [8:0] rd_column,
  output [7:0] rd_pixel
);
`ifndef SWAP
  reg [7:0] pixels [0:511];
  assign rd_pixel = pixels[rd_column];
`elsif LINE_STORE
  `LINE_STORE u_line (clk, wr_en, wr_column, wr_pixel, rd_column, rd_pixel);
`endif
endmodule
