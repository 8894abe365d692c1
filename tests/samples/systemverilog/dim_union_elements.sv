// Words that are either a pixel or a mark: a packed union.
// expect: top.words 256x24 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [7:0]  wr_addr,
  input  logic [23:0] wr_word,
  input  logic [7:0]  rd_addr,
  output logic [23:0] rd_word
);
  typedef struct packed {
    logic [7:0] red;
    logic [7:0] green;
    logic [7:0] blue;
  } pixel_t;

  typedef union packed {
    pixel_t      pixel;
    logic [23:0] mark;
  } word_t;

  word_t words [256];

  always_ff @(posedge clk) begin
    if (wr_en) words[wr_addr] <= wr_word;
    rd_word <= words[rd_addr];
  end
endmodule
