// One counter per grain class: the size is the last literal of an enumeration, which also indexes.
// expect: top.counts 6x24 banks=1 ports=1rw clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic        store,
  input  logic [2:0]  class_bits,
  input  logic [23:0] wr_count,
  output logic [23:0] rd_count
);
  typedef enum logic [2:0] {SOUND, CHALKY, UNRIPE, BROKEN, STONE, HUSK, CLASS_COUNT} grain_t;

  grain_t      grain;
  logic [23:0] counts [CLASS_COUNT];

  assign grain = grain_t'(class_bits);

  always_ff @(posedge clk) begin
    if (store) counts[grain] <= wr_count;
    else rd_count <= counts[grain];
  end
endmodule
