// Words and addresses that pass through interfaces: what reads and drives their signals stands elsewhere.
// expect: top.u_data.levels 32x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
// expect: top.u_logic.levels 32x8 banks=1 ports=1w1r clocks=top.clk read=asynchronous
// expect: top.u_address.levels 32x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
interface table_if;
  logic       clk, write;
  logic [4:0] wr_at, rd_at;
  logic [7:0] level, shown;

  modport store (input clk, write, wr_at, rd_at, level, output shown);
endinterface

module level_table (table_if.store bus);
  logic [7:0] levels [32];

  always_ff @(posedge bus.clk) if (bus.write) levels[bus.wr_at] <= bus.level;

  assign bus.shown       = levels[bus.rd_at];
endmodule

module reader (table_if bus, output logic [7:0] q);
  always_ff @(posedge bus.clk) q <= bus.shown;
endmodule

module top (
  input  logic       clk, write,
  input  logic [4:0] wr_at, rd_at,
  input  logic [7:0] level,
  output logic [7:0] q, r, s
);
  table_if data ();
  table_if summed ();
  table_if addressed ();
  logic [4:0] rd_at_q;

  level_table u_data (data);
  level_table u_logic (summed);
  level_table u_address (addressed);
  reader      u_reader (data, q);

  assign data.clk        = clk;
  assign summed.clk      = clk;
  assign addressed.clk   = clk;
  assign data.write      = write;
  assign summed.write    = write;
  assign addressed.write = write;
  assign data.wr_at      = wr_at;
  assign summed.wr_at    = wr_at;
  assign addressed.wr_at = wr_at;
  assign data.rd_at      = rd_at;
  assign summed.rd_at    = rd_at;
  assign addressed.rd_at = rd_at_q;
  assign data.level      = level;
  assign summed.level    = level;
  assign addressed.level = level;

  always_ff @(posedge clk) begin
    rd_at_q <= rd_at;
    r       <= summed.shown + 8'd1;
  end

  assign s = addressed.shown;
endmodule
