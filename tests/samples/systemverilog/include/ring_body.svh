// The ring itself: declaration and process.
logic [7:0] ring [64];

always_ff @(posedge clk) begin
  oldest     <= ring[slot];
  ring[slot] <= newest;
end
