// A constant function whose loop has two variables.
// expect: top.sums 25x10 banks=1 ports=1rw clocks=top.clk read=synchronous
module top (
  input  logic       clk, we,
  input  logic [4:0] addr,
  input  logic [9:0] d,
  output logic [9:0] q
);
  function automatic int odd_sum(int n);
    odd_sum = 0;
    for (int i = 0, j = 1; i < n; i++, j += 2) odd_sum += j;
  endfunction

  logic [9:0] sums [odd_sum(5)];

  always_ff @(posedge clk) begin
    if (we) sums[addr] <= d;
    q <= sums[addr];
  end
endmodule
