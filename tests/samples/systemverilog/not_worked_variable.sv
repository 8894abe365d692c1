// An array a combinational process works with and nothing else sees: no latch, no memory.
// expect-not: top.column
module top (
  input  logic [63:0] data,
  output logic [7:0]  syndrome
);
  logic [7:0] column [64];
  int         count;

  always @* begin
    count    = 0;
    syndrome = 0;
    for (int i = 0; i < 256; i++)
      if ($countones(i) == 3 && count < 64) begin
        column[count] = i[7:0];
        count = count + 1;
      end
    for (int k = 0; k < 64; k++)
      if (data[k]) syndrome = syndrome ^ column[k];
  end
endmodule
