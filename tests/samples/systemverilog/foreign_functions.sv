// Foreign functions, assertions with an else part, nets with a delay: what stands behind each is read.
// expect: top.words 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic       clk, we,
  input  logic [5:0] wr_at, rd_at,
  input  logic [7:0] d,
  output logic [7:0] q
);
  import "DPI-C" context function int level_of(input int column);
  import "DPI-C" pure function void note(input string text);
  export "DPI-C" function read_word;
  export "DPI-C" task write_word;

  assert property (@(posedge clk) we |-> d != 0)
  else $error("a word of %0d at %0d",
              d, wr_at);
  never_both: cover property (@(posedge clk) we);
  wire [7:0] #2 late = d;
  wire #(1, 2) later = we;
  logic [7:0] words [64];

  function int read_word(input int column);
    return int'(words[column]);
  endfunction

  task write_word(input int column, input int value);
    words[column] = 8'(value);
  endtask

  always_ff @(posedge clk) begin
    if (later) words[wr_at] <= late;
    q <= words[rd_at];
  end
endmodule
