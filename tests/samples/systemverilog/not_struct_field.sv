// An array inside a struct is a field, not an array of its own.
// expect-not: top.bank
module top (
  input  logic       clk, we,
  input  logic [4:0] at,
  input  logic [7:0] d,
  output logic [7:0] q
);
  typedef struct {
    logic [7:0] levels [32];
    logic       valid;
  } bank_t;
  bank_t bank;

  always_ff @(posedge clk) begin
    if (we) bank.levels[at] <= d;
    q <= bank.levels[at];
  end
endmodule
