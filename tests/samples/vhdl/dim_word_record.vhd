-- expect: dim_word_record.line 64x16 banks=1 ports=1w1r clocks=dim_word_record.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity dim_word_record is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of dim_word_record is
  type grain_t is record
    width, height : unsigned(5 downto 0);
    kind : std_logic_vector(2 downto 0);
    eject : std_logic;
  end record;
  type line_t is array (0 to 63) of grain_t;
  signal line : line_t;
  signal word : grain_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= (unsigned(data(5 downto 0)), unsigned(data(11 downto 6)), data(14 downto 12), data(15));
      end if;
      word <= line(to_integer(read_at));
    end if;
  end process;
  q <= word.eject & word.kind & std_logic_vector(word.height & word.width);
end architecture;
