-- Arrays that are fields of records, alone and in an array of records.
-- expect: record_of_arrays.one.words 256x8 banks=1 ports=1w1r clocks=record_of_arrays.clk read=synchronous
-- expect: record_of_arrays.many.words 1024x8 banks=1 ports=1w1r clocks=record_of_arrays.clk read=synchronous
-- expect: record_of_arrays.pixels 64x25 banks=1 ports=1rw clocks=record_of_arrays.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity record_of_arrays is
  port (
    clk, we      : in std_logic;
    lane         : in unsigned(1 downto 0);
    wr_at, rd_at : in unsigned(7 downto 0);
    d            : in std_logic_vector(7 downto 0);
    q, r, green  : out std_logic_vector(7 downto 0)
  );
end entity;

architecture rtl of record_of_arrays is
  type words_t is array (0 to 255) of std_logic_vector(7 downto 0);
  type store_t is record
    words : words_t;
    count : unsigned(7 downto 0);
  end record;
  type stores_t is array (0 to 3) of store_t;
  type colours_t is array (0 to 2) of std_logic_vector(7 downto 0);
  type pixel_t is record
    colours : colours_t;
    valid   : std_logic;
  end record;
  type pixels_t is array (0 to 63) of pixel_t;
  signal one    : store_t;
  signal many   : stores_t;
  signal pixels : pixels_t;
  signal pixel  : pixel_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        one.words(to_integer(wr_at)) <= d;
        many(to_integer(lane)).words(to_integer(wr_at)) <= d;
        pixels(to_integer(wr_at(5 downto 0))) <= (colours => (others => d), valid => '1');
      end if;
      one.count <= one.count + 1;
      q <= one.words(to_integer(rd_at));
      r <= many(to_integer(lane)).words(to_integer(rd_at));
      pixel <= pixels(to_integer(wr_at(5 downto 0)));
    end if;
  end process;

  green <= pixel.colours(1);
end architecture;
