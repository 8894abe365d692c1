-- expect: dim_enumeration_index.line 4x16 banks=1 ports=1w1r clocks=dim_enumeration_index.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity dim_enumeration_index is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(1 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of dim_enumeration_index is
  type camera_t is (front, rear, top, side);
  type line_t is array (camera_t) of std_logic_vector(15 downto 0);
  signal line : line_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(camera_t'val(to_integer(write_at))) <= data;
      end if;
      q <= line(camera_t'val(to_integer(read_at)));
    end if;
  end process;
end architecture;
