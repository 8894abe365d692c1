// An array inside an unpacked struct is a memory of its own; the flag beside it is a register.
// expect: top.bank.levels 32x8 banks=1 ports=1rw clocks=top.clk read=synchronous
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
