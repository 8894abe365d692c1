/* The colour classifier: a table of hues filled at power-up, looked up without a clock,
   and a table of class weights that is only ever read. */
library ieee;
context ieee.ieee_std_context;
use work.sorter_types.all;

entity classifier is
  generic (HUES : positive := 256; PIPELINE : boolean := true);
  port (clk : in std_logic; hue : in hue_t; load, load_last : in std_logic;
        class : out grain_class; weight : out integer range -8 to 7);
end entity;

architecture rtl of classifier is
  type weights_t is array (grain_class) of integer range -8 to 7;
  constant WEIGHTS : weights_t := (good => 0, cracked | mouldy => 3, stone => 7); -- @mem in registers

  function fill return hue_table is
    variable table : hue_table(0 to HUES - 1);
  begin
    for i in table'range loop
      next when i mod 2 = 1;
      table(i) := (low => to_unsigned(i mod 256, 8), high => x"FF", class => good);
    end loop;
    return table;
  end function;

  signal table : hue_table(0 to HUES - 1) := fill;
  signal found : grain_class := grain_class'left;
  alias low_hue : unsigned(7 downto 0) is table(0).low;
begin
  process (all)
    variable class_v : grain_class;
  begin
    class_v := stone;
    for i in table'low to table'high loop
      if hue >= table(i).low and hue <= table(i).high then
        class_v := table(i).class;
        exit;
      end if;
    end loop;
    found <= class_v;
  end process;

  loading : process
  begin
    wait until rising_edge(clk);
    case std_logic_vector'(load & load_last) is
      when "10" | "11" => table(to_integer(hue)).high <= hue;
      when others => null;
    end case;
  end process;

  registered : if PIPELINE generate
    signal class_r : grain_class;
  begin
    class_r <= found when rising_edge(clk);
    class <= class_r;
  elsif direct : not PIPELINE and HUES > 1 generate
    class <= found;
  end direct;
  else generate
    class <= good;
  end generate registered;

  with found select
    weight <= WEIGHTS(good) when good,
              WEIGHTS(cracked) when cracked | mouldy,
              WEIGHTS(stone) when others;
end architecture;
