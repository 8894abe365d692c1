-- expect-not: not_wires.taps
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity not_wires is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(1 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of not_wires is
  type taps_t is array (0 to 3) of std_logic_vector(15 downto 0);
  signal taps : taps_t;
begin
  taps(0) <= data;
  taps(1) <= not data;
  taps(2) <= (others => we);
  taps(3) <= (others => '0');
  process (clk)
  begin
    if rising_edge(clk) then
      q <= taps(to_integer(read_at));
    end if;
  end process;
end architecture;
