-- expect: dim_word_nested_record.line 64x49 banks=1 ports=1w1r clocks=dim_word_nested_record.clk read=synchronous
-- Two pixels of 24 bits and one for the boolean.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity dim_word_nested_record is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(7 downto 0);
    q : out std_logic_vector(7 downto 0)
  );
end entity;

architecture rtl of dim_word_nested_record is
  type pixel_t is record
    red, green, blue : std_logic_vector(7 downto 0);
  end record;
  type pair_t is array (0 to 1) of pixel_t;
  type cell_t is record
    pixels : pair_t;
    valid : boolean;
  end record;
  type line_t is array (0 to 63) of cell_t;
  signal line : line_t;
  signal word : cell_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= (pixels => (others => (data, data, data)), valid => true);
      end if;
      word <= line(to_integer(read_at));
    end if;
  end process;
  q <= word.pixels(0).red when word.valid else word.pixels(1).blue;
end architecture;
