-- expect: generate_for_signal.cameras[1].line 64x16 banks=1 ports=1w1r clocks=generate_for_signal.clk read=synchronous
-- expect: generate_for_signal.cameras[2].line 64x16 banks=1 ports=1w1r clocks=generate_for_signal.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity generate_for_signal is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(31 downto 0)
  );
end entity;

architecture rtl of generate_for_signal is

begin
  cameras : for camera in 1 to 2 generate
    type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
    signal line : line_t;
  begin
    process (clk)
    begin
      if rising_edge(clk) then
        if we = '1' then
          line(to_integer(write_at)) <= data;
        end if;
        q(16 * camera - 1 downto 16 * camera - 16) <= line(to_integer(read_at));
      end if;
    end process;
  end generate;
end architecture;
