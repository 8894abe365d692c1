// The clock comes with a bus, through a modport and two levels.
// expect: top.u_table.u_ram.words 64x32 banks=1 ports=1w1r clocks=top.host_clk read=synchronous
interface host_bus_if (input logic clk);
  logic        write;
  logic [5:0]  addr;
  logic [31:0] wdata;
  logic [5:0]  raddr;
  logic [31:0] rdata;

  modport target (input clk, input write, input addr, input wdata, input raddr, output rdata);
endinterface

module bus_ram (host_bus_if.target bus);
  logic [31:0] words [64];

  always_ff @(posedge bus.clk) begin
    if (bus.write) words[bus.addr] <= bus.wdata;
    bus.rdata <= words[bus.raddr];
  end
endmodule

module bus_table (host_bus_if.target host);
  bus_ram u_ram (.bus(host));
endmodule

module top (
  input  logic        host_clk,
  input  logic        write,
  input  logic [5:0]  addr,
  input  logic [31:0] wdata,
  output logic [31:0] rdata
);
  host_bus_if bus (.clk(host_clk));

  assign bus.write = write;
  assign bus.addr  = addr;
  assign bus.raddr = ~addr;
  assign bus.wdata = wdata;
  assign rdata     = bus.rdata;

  bus_table u_table (.host(bus));
endmodule
