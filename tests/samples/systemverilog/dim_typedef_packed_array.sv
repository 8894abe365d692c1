// A packed vector type used as the word, and a packed array of it as the file.
// expect: top.file 8x12 banks=1 ports=1w1r clocks=top.clk read=asynchronous
module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [2:0]  wr_index,
  input  logic [11:0] wr_level,
  input  logic [2:0]  rd_index,
  output logic [11:0] rd_level
);
  typedef logic [11:0] level_t;
  typedef level_t [7:0] file_t;

  file_t file;

  always_ff @(posedge clk) begin
    if (wr_en) file[wr_index] <= wr_level;
  end

  assign rd_level = file[rd_index];
endmodule
