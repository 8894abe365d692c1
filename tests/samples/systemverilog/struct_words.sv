// Words that are structs: their bits are those of all fields. An array field written with the word is part of it.
// expect: top.plain 256x13 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.packed_words 256x16 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.pixels 128x25 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.two_ways 32x12 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk, we,
  input  logic [7:0]  wr_at, rd_at,
  input  logic [15:0] d,
  output logic [7:0]  q, green,
  output logic [15:0] r,
  output logic [11:0] s
);
  typedef struct { logic [7:0] gain; logic [3:0] class_of; logic valid; } plain_t;
  typedef struct packed { logic [7:0] gain; logic [7:0] offset; } packed_t;
  typedef struct { logic [7:0] colours [3]; logic valid; } pixel_t;
  plain_t  plain [256];
  packed_t packed_words [256];
  pixel_t  pixels [128];
  packed_t next_word;
  // Packed structs in two dimensions.
  typedef struct packed { logic [3:0] low; logic [7:0] high; } pair_t;
  pair_t [3:0][7:0] two_ways;

  pixel_t pixel, shown;

  assign pixel.colours = '{d[7:0], d[15:8], d[7:0]};
  assign pixel.valid = we;
  assign green = shown.colours[1];

  always_ff @(posedge clk) begin
    if (we) begin
      plain[wr_at].gain     <= d[7:0];
      plain[wr_at].class_of <= d[11:8];
      plain[wr_at].valid    <= 1'b1;
      packed_words[wr_at]   <= d;
      pixels[wr_at[6:0]]    <= pixel;
      two_ways[wr_at[1:0]][wr_at[4:2]] <= d[11:0];
    end
    q     <= plain[rd_at].gain;
    r     <= packed_words[rd_at];
    shown <= pixels[rd_at[6:0]];
    s     <= two_ways[rd_at[1:0]][rd_at[4:2]];
  end
endmodule
