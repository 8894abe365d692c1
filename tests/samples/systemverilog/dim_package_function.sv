// The width comes from a function in a package: check bits for so many data bits.
// expect: top.frames 1024x39 banks=1 ports=1w1r clocks=top.clk read=synchronous
package protect_pkg;
  function automatic int unsigned check_bits(input int unsigned data);
    int unsigned check;
    check = 1;
    while ((1 << check) < data + check + 1) check++;
    return check + 1;
  endfunction
endpackage

module top (
  input  logic                                      clk,
  input  logic                                      wr_en,
  input  logic [9:0]                                wr_addr,
  input  logic [32+protect_pkg::check_bits(32)-1:0] wr_word,
  input  logic [9:0]                                rd_addr,
  output logic [32+protect_pkg::check_bits(32)-1:0] rd_word
);
  logic [32+protect_pkg::check_bits(32)-1:0] frames [1024];

  always_ff @(posedge clk) begin
    if (wr_en) frames[wr_addr] <= wr_word;
    rd_word <= frames[rd_addr];
  end
endmodule
