// Two full ports, each on a clock of its own.
// expect: top.words 1024x24 banks=1 ports=2rw clocks=top.host_clk,top.proc_clk read=synchronous
module top (
  input  logic        proc_clk,
  input  logic        proc_we,
  input  logic [9:0]  proc_addr,
  input  logic [23:0] proc_wdata,
  output logic [23:0] proc_rdata,
  input  logic        host_clk,
  input  logic        host_we,
  input  logic [9:0]  host_addr,
  input  logic [23:0] host_wdata,
  output logic [23:0] host_rdata
);
  logic [23:0] words [1024];

  always @(posedge proc_clk) begin
    if (proc_we) words[proc_addr] <= proc_wdata;
    proc_rdata <= words[proc_addr];
  end

  always @(posedge host_clk) begin
    if (host_we) words[host_addr] <= host_wdata;
    host_rdata <= words[host_addr];
  end
endmodule
