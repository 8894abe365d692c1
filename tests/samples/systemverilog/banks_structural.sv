// Banks made of instances: each is a memory of its own.
// expect: top.g_bank[0].u_bank.words 256x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.g_bank[1].u_bank.words 256x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module bank (
  input  logic       clk,
  input  logic       we,
  input  logic [7:0] wa,
  input  logic [7:0] wd,
  input  logic [7:0] ra,
  output logic [7:0] rd
);
  logic [7:0] words [256];

  always_ff @(posedge clk) begin
    if (we) words[wa] <= wd;
    rd <= words[ra];
  end
endmodule

module top (
  input  logic       clk,
  input  logic       we,
  input  logic [8:0] wa,
  input  logic [7:0] wd,
  input  logic [8:0] ra,
  output logic [7:0] rd
);
  logic [1:0][7:0] word;
  logic            chosen;

  for (genvar b = 0; b < 2; b++) begin : g_bank
    bank u_bank (
      .clk(clk), .we(we && wa[8] == b), .wa(wa[7:0]), .wd(wd), .ra(ra[7:0]), .rd(word[b])
    );
  end

  always_ff @(posedge clk) chosen <= ra[8];

  assign rd = word[chosen];
endmodule
