library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity line_buffer is
  port (
    pixel_clk, jet_clk, we : in std_logic;
    wa, ra : in unsigned(12 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of line_buffer is
  type line_t is array (0 to 8191) of std_logic_vector(39 downto 0);
  -- @mem in bulk
  signal line : line_t;
begin
  process (pixel_clk)
  begin
    if rising_edge(pixel_clk) then
      if we = '1' then
        line(to_integer(wa)) <= d;
      end if;
    end if;
  end process;
  process (jet_clk)
  begin
    if rising_edge(jet_clk) then
      q <= line(to_integer(ra));
    end if;
  end process;
end architecture;

-- mended

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity line_buffer is
  port (
    jet_clk, we : in std_logic;
    wa, ra : in unsigned(12 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of line_buffer is
  type line_t is array (0 to 8191) of std_logic_vector(39 downto 0);
  -- @mem in bulk
  signal line : line_t;
begin
  process (jet_clk)
  begin
    if rising_edge(jet_clk) then
      if we = '1' then
        line(to_integer(wa)) <= d;
      end if;
    end if;
  end process;
  process (jet_clk)
  begin
    if rising_edge(jet_clk) then
      q <= line(to_integer(ra));
    end if;
  end process;
end architecture;
