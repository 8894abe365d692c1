-- expect: lanes_record_fields.line 64x24 banks=1 ports=1w1r clocks=lanes_record_fields.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity lanes_record_fields is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(7 downto 0);
    q : out std_logic_vector(7 downto 0);
    we_green, we_blue : in std_logic
  );
end entity;

architecture rtl of lanes_record_fields is
  type pixel_t is record
    red, green, blue : std_logic_vector(7 downto 0);
  end record;
  type line_t is array (0 to 63) of pixel_t;
  signal line : line_t;
  signal word : pixel_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)).red <= data;
      end if;
      if we_green = '1' then
        line(to_integer(write_at)).green <= data;
      end if;
      if we_blue = '1' then
        line(to_integer(write_at)).blue <= data;
      end if;
      word <= line(to_integer(read_at));
    end if;
  end process;
  q <= word.red xor word.green xor word.blue;
end architecture;
