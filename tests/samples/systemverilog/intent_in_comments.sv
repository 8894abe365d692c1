// Intents stand beside the arrays; one is in code that is switched off.
// expect: top.pixels 2048x12 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.gains 2048x10 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        wr_en,
  input  logic [10:0] wr_column,
  input  logic [11:0] wr_word,
  input  logic [10:0] rd_column,
  output logic [11:0] pixel,
  output logic [9:0]  gain
);
  //@mem in block; shape 2K x 12; ports 1w 1r; one clock

  (* note = "between intent and array" *)
  logic [11:0] pixels [2048];

  logic [9:0] gains [2048]; // @mem in block; shape 2K x 10

`ifdef NEVER
  /* @mem in bulk; shape 1 x 1 */
`endif

  always_ff @(posedge clk) begin
    if (wr_en) begin
      pixels[wr_column] <= wr_word;
      gains[wr_column]  <= wr_word[9:0];
    end
    pixel <= pixels[rd_column];
    gain  <= gains[rd_column];
  end
endmodule
