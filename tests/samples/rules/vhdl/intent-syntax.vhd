library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity delay_line is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(12 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of delay_line is
  type line_t is array (0 to 8191) of std_logic_vector(39 downto 0);
  -- @mem in bulk; shape 8K by 40
  signal line : line_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(wa)) <= d;
      end if;
      q <= line(to_integer(ra));
    end if;
  end process;
end architecture;

-- mended

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity delay_line is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(12 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of delay_line is
  type line_t is array (0 to 8191) of std_logic_vector(39 downto 0);
  -- @mem in bulk; shape 8K x 40
  signal line : line_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(wa)) <= d;
      end if;
      q <= line(to_integer(ra));
    end if;
  end process;
end architecture;
