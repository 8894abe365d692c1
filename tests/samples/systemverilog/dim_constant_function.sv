// A function with a loop reckons the depth: lines that fit between lens and nozzle.
// expect: top.ring 820x16 banks=1 ports=1rw clocks=top.clk read=synchronous
module top (
  input  logic        clk,
  input  logic [9:0]  slot,
  input  logic [15:0] newest,
  output logic [15:0] oldest
);
  function automatic int unsigned lines(input int unsigned millimetres, input int unsigned pitch);
    int unsigned count;
    count = 0;
    for (int unsigned way = 0; way < millimetres * 10; way += pitch) begin
      count++;
    end
    return count;
  endfunction

  localparam int unsigned SLOTS = lines(82, 1);

  logic [15:0] ring [SLOTS];

  always_ff @(posedge clk) begin
    oldest     <= ring[slot];
    ring[slot] <= newest;
  end
endmodule
