// Blocks without names, numbered by the standard (IEEE Std 1800-2017, 27.6); conditional constructs
// directly inside others share one scope (27.5). Paths also confirmed with pyslang.
// expect: top.genblk1[0].genblk1.u_a.line 17x8 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.genblk1[1].genblk1.u_b.line 18x8 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.genblk3.u_c.line 19x8 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.genblk4.u_d.line 20x8 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.genblk5.genblk1.u_e.line 21x8 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.genblk6[0].genblk1[1].u_f.line 23x8 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.down[3].u_g.line 24x8 banks=1 ports=1rw clocks=top.clk read=synchronous
// expect: top.plain.u_h.line 25x8 banks=1 ports=1rw clocks=top.clk read=synchronous
module line_store #(parameter DEPTH = 16) (
  input  logic       clk, we,
  input  logic [4:0] addr,
  input  logic [7:0] d,
  output logic [7:0] q
);
  logic [7:0] line [DEPTH];

  always_ff @(posedge clk) begin
    if (we) line[addr] <= d;
    q <= line[addr];
  end
endmodule

module top #(parameter N = 2, E = 1, MODE = "SLOW") (
  input  logic       clk, we,
  input  logic [4:0] addr,
  input  logic [7:0] d,
  output logic [7:0] q [8]
);
  genvar i;
  generate
    for (i = 0; i < N; i = i + 1) begin
      if (i == 0) line_store #(17) u_a (clk, we, addr, d, q[0]);
      else line_store #(18) u_b (clk, we, addr, d, q[1]);
    end
    if (MODE == "FAST") begin : fast
      line_store #(99) u_x (clk, we, addr, d, q[2]);
    end
    case (N)
      1: line_store #(98) u_x (clk, we, addr, d, q[2]);
      2, 3: begin line_store #(19) u_c (clk, we, addr, d, q[2]); end
      default: ;
    endcase
  endgenerate
  if (E) if (N == 2) line_store #(20) u_d (clk, we, addr, d, q[3]);
  else line_store #(97) u_x (clk, we, addr, d, q[3]);
  if (E) begin
    if (N == 2) line_store #(21) u_e (clk, we, addr, d, q[4]);
  end
  for (genvar k = 0; k < 1; k++)
    for (genvar m = 1; m < 2; m++) line_store #(22 + k + m) u_f (clk, we, addr, d, q[5]);
  for (genvar k = 3; k > 2; k -= 2) begin : down
    line_store #(24) u_g (clk, we, addr, d, q[6]);
  end
  begin : plain
    line_store #(25) u_h (clk, we, addr, d, q[7]);
  end
endmodule
