-- expect: write_procedure.line 64x16 banks=1 ports=1w1r clocks=write_procedure.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity write_procedure is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of write_procedure is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
begin
  process (clk)
    procedure store(at : in unsigned(5 downto 0); word : in std_logic_vector(15 downto 0)) is
    begin
      line(to_integer(at)) <= word;
    end procedure;
  begin
    if rising_edge(clk) then
      if we = '1' then
        store(write_at, data);
      end if;
      q <= line(to_integer(read_at));
    end if;
  end process;
end architecture;
