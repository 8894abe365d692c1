-- expect: process_enable_states.line 64x16 banks=1 ports=1w1r clocks=process_enable_states.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity process_enable_states is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of process_enable_states is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
  type state_t is (idle, store);
  signal state : state_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      case state is
        when idle =>
          if we = '1' then
            state <= store;
          end if;
        when store =>
          line(to_integer(write_at)) <= data;
          state <= idle;
      end case;
      q <= line(to_integer(read_at));
    end if;
  end process;
end architecture;
