// Written in one state of a machine with unique case; the rest of the states do other things.
// expect: top.words 64x8 banks=1 ports=1w1r clocks=top.clk read=synchronous
module top (
  input  logic       clk,
  input  logic       rst_n,
  input  logic       go,
  input  logic [7:0] level,
  output logic [7:0] shown
);
  typedef enum logic [1:0] {IDLE, FILL, SHOW} state_t;

  state_t     state;
  logic [5:0] place;
  logic [5:0] look;
  logic [7:0] words [64];

  always_ff @(posedge clk or negedge rst_n) begin
    if (!rst_n) begin
      state <= IDLE;
      place <= '0;
      look  <= '0;
    end else begin
      unique case (state)
        IDLE: if (go) state <= FILL;
        FILL: begin
          place <= place + 1'b1;
          if (place == '1) state <= SHOW;
        end
        SHOW: begin
          look <= look + 1'b1;
          if (look == '1) state <= IDLE;
        end
        default: state <= IDLE;
      endcase
    end
  end

  always_ff @(posedge clk) begin
    unique case (state)
      FILL:    words[place] <= level;
      SHOW:    shown <= words[look];
      default: ;
    endcase
  end
endmodule
