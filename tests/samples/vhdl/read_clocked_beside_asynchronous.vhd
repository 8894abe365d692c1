-- expect: read_clocked_beside_asynchronous.line 64x16 banks=1 ports=1r1rw clocks=read_clocked_beside_asynchronous.clk read=asynchronous
-- The clocked read has the address of the write on the same clock: one port, whatever the other read does.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity read_clocked_beside_asynchronous is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q, shown : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of read_clocked_beside_asynchronous is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= data;
      end if;
      q <= line(to_integer(write_at));
    end if;
  end process;
  shown <= line(to_integer(read_at));
end architecture;
