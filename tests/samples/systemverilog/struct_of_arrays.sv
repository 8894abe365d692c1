// Arrays inside unpacked structs, alone and in an array of them; what is left of the word is an array too.
// expect: top.one.levels 256x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.one.deeper.marks 16x4 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.many.levels 1024x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.many 4x5 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic       clk, we,
  input  logic [1:0] lane,
  input  logic [7:0] wr_at, rd_at, d,
  output logic [7:0] q, r,
  output logic [3:0] m, n
);
  typedef struct { logic [3:0] marks [16]; logic any; } marks_t;
  typedef struct { logic [7:0] levels [0:255]; logic busy; marks_t deeper; } table_t;
  typedef struct { logic [7:0] levels [0:255]; logic [3:0] tag; logic busy; } lane_t;
  table_t one;
  lane_t  many [4];

  always_ff @(posedge clk) begin
    if (we) begin
      one.levels[wr_at]             <= d;
      one.deeper.marks[wr_at[3:0]]  <= d[3:0];
      many[lane].levels[wr_at]      <= d;
      many[wr_at[1:0]].tag          <= d[3:0];
    end
    one.busy <= we;
    q        <= one.levels[rd_at];
    m        <= one.deeper.marks[wr_at[3:0]];
    r        <= many[lane].levels[rd_at];
    n        <= many[lane].tag;
  end
endmodule
