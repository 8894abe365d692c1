// An array that keeps nothing: a sorting network's wires, and a decoded table.
// expect-not: top.sorted
// expect-not: top.doubled
module top (
  input  logic [3:0][7:0] levels,
  input  logic [1:0]      rank,
  output logic [7:0]      picked,
  output logic [7:0]      twice
);
  logic [7:0] sorted [4];
  logic [7:0] doubled [4];

  always_comb begin
    for (int i = 0; i < 4; i++) sorted[i] = levels[i];
    if (sorted[0] > sorted[1]) begin
      sorted[0] = levels[1];
      sorted[1] = levels[0];
    end
  end

  for (genvar i = 0; i < 4; i++) begin : g_twice
    assign doubled[i] = levels[i] << 1;
  end

  assign picked = sorted[rank];
  assign twice  = doubled[rank];
endmodule
