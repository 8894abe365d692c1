"""VHDL libraries: `[libraries]`, `work`, order of files, and the standard ones' sources in a project.

Expected values were worked by hand from the sources below.
"""

from __future__ import annotations

from itertools import permutations

import pytest

from memlint.design.design import DesignOptions, elaborate_design
from memlint.engine import Engine
from memlint.engine.judgement import Judgement
from memlint.engine.settings import Settings
from memlint.reading.vhdl.read import read_vhdl
from memlint.text.source import SourceText

USE = "library ieee;\nuse ieee.std_logic_1164.all;\nuse ieee.numeric_std.all;\n"


def store(depth: str, use: str = "", name: str = "store") -> str:
    return f"""{USE}{use}
entity {name} is
  port (clk, we : in std_logic; at : in unsigned(9 downto 0);
        data : in std_logic_vector(7 downto 0); q : out std_logic_vector(7 downto 0));
end entity;
architecture rtl of {name} is
  type line_t is array (0 to {depth} - 1) of std_logic_vector(7 downto 0);
  signal line : line_t;
begin
  process (clk) begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(at)) <= data;
      end if;
      q <= line(to_integer(at));
    end if;
  end process;
end architecture;
"""


def top(*instances: str, use: str = "") -> str:
    placed = "\n".join(
        f"  u{at} : {one} port map (clk => clk, we => we, at => at, data => data, q => open);"
        for at, one in enumerate(instances)
    )
    return f"""{USE}{use}
entity sorter is
  port (clk, we : in std_logic; at : in unsigned(9 downto 0); data : in std_logic_vector(7 downto 0));
end entity;
architecture rtl of sorter is
begin
{placed}
end architecture;
"""


def judge(
    files: dict[str, str], libraries: dict[str, tuple[str, ...]] | None = None, tops: tuple[str, ...] = ()
) -> Judgement:
    settings = Settings(root="/nonexistent", sources=tuple(files), libraries=libraries or {}, top=tops)
    return Engine(settings, files).judge()


def depths(judgement: Judgement) -> dict[str, int | None]:
    return {view.memory.path: view.memory.depth for view in judgement.memories}


def test_two_units_of_one_name_in_two_libraries_are_told_apart() -> None:
    files = {
        "rtl/top.vhd": top("entity optics.store", "entity air.store", use="library optics, air;"),
        "rtl/optics/store.vhd": store("64"),
        "rtl/air/store.vhd": store("128"),
    }
    libraries = {"optics": ("rtl/optics/*.vhd",), "air": ("rtl/air/**/*.vhd",)}
    judgement = judge(files, libraries)
    assert judgement.roots == ("sorter",)
    assert depths(judgement) == {"sorter.u0.line": 64, "sorter.u1.line": 128}
    assert not judgement.missing


def test_work_is_the_library_of_the_unit_that_says_it() -> None:
    sizes = "package sizes is\n  constant DEPTH : positive := {0};\nend package;\n"
    files = {
        "top.vhd": top("entity optics.line_store", "entity work.store", use="library optics;"),
        "own.vhd": sizes.format(32) + store("DEPTH", "use work.sizes.all;"),
        "optics/sizes.vhd": sizes.format(256),
        "optics/store.vhd": store("DEPTH", "use work.sizes.all;"),
        "optics/line_store.vhd": top("entity work.store").replace("sorter", "line_store").replace(
            "data : in std_logic_vector(7 downto 0))",
            "data : in std_logic_vector(7 downto 0); q : out std_logic_vector(7 downto 0))",
        ),
    }
    judgement = judge(files, {"optics": ("optics/*.vhd",)})
    assert depths(judgement) == {"sorter.u0.u0.line": 256, "sorter.u1.line": 32}


def test_a_package_of_another_library() -> None:
    files = {
        "a/sizes.vhd": "package sizes is\n  constant DEPTH : positive := 16;\nend package;\n",
        "b/sizes.vhd": "package sizes is\n  constant DEPTH : positive := 48;\nend package;\n",
        "store.vhd": store("lib_b.sizes.DEPTH", "library lib_a, lib_b;\nuse lib_a.sizes.all;"),
        "store2.vhd": store("DEPTH", "library lib_a;\nuse lib_a.sizes.all;", "store2"),
    }
    judgement = judge(files, {"lib_a": ("a/*.vhd",), "lib_b": ("b/*.vhd",)})
    assert depths(judgement) == {"store.line": 48, "store2.line": 16}


def test_a_unit_that_its_library_does_not_hold_is_missing() -> None:
    files = {"top.vhd": top("entity optics.store", use="library optics;"), "store.vhd": store("64")}
    # Nothing says what `optics` holds: the project has a unit of that name, and it is taken.
    assert depths(judge(files)) == {"sorter.u0.line": 64}
    files["optics/other.vhd"] = store("8", name="other")
    judgement = judge(files, {"optics": ("optics/*.vhd",)}, ("sorter",))
    assert [one.name for one in judgement.missing] == ["store"]


def test_a_component_is_bound_to_the_unit_of_its_own_library_first() -> None:
    component = (
        "component store is\n  port (clk, we : in std_logic; at : in unsigned(9 downto 0);\n"
        "        data : in std_logic_vector(7 downto 0); q : out std_logic_vector(7 downto 0));\n"
        "end component;\n"
    )
    files = {
        "air/store.vhd": store("128"),
        "optics/top.vhd": top("store").replace("is\nbegin", f"is\n{component}begin"),
        "optics/store.vhd": store("64"),
    }
    libraries = {"air": ("air/*.vhd",), "optics": ("optics/*.vhd",)}
    assert depths(judge(files, libraries, ("sorter",))) == {"sorter.u0.line": 64}


def test_a_top_may_be_named_with_its_library() -> None:
    files = {"a.vhd": store("64"), "b/b.vhd": store("128")}
    libraries = {"optics": ("b/*.vhd",)}
    assert depths(judge(files, libraries, ("optics.store",))) == {"store.line": 128}
    assert depths(judge(files, libraries, ("store",))) == {"store.line": 64}


def test_the_files_of_a_library_belong_to_the_project() -> None:
    settings = Settings(
        root="/nonexistent",
        sources=("rtl/*.vhd",),
        libraries={"optics": ("ip/*.vhd",)},
    )
    files = {"rtl/top.vhd": top("entity optics.store", use="library optics;"), "ip/store.vhd": store("64")}
    assert depths(Engine(settings, files).judge()) == {"sorter.u0.line": 64}


PARTS = {
    "sizes.vhd": "package sizes is\n  constant DEPTH : positive;\nend package;\n",
    "body.vhd": "package body sizes is\n  constant DEPTH : positive := work.more.TWICE / 2;\nend;\n",
    "more.vhd": "package more is\n  constant TWICE : positive := 128;\nend package;\n",
    "entity.vhd": store("DEPTH", "use work.sizes.all;").partition("architecture")[0],
    "rtl.vhd": "architecture" + store("DEPTH", "use work.sizes.all;").partition("architecture")[2],
}


@pytest.mark.parametrize("order", list(permutations(PARTS)), ids=lambda one: " ".join(one))
def test_the_order_of_files_changes_nothing(order: tuple[str, ...]) -> None:
    facts = [read_vhdl(SourceText(name, PARTS[name])) for name in order]
    (memory,) = elaborate_design(facts, DesignOptions()).memories
    assert (memory.path, memory.depth, memory.width) == ("store.line", 64, 8)


def test_sources_of_standard_packages_do_no_harm() -> None:
    # As far as a project may bring them along: cut short, since only their being there matters.
    logic = (
        "package std_logic_1164 is\n  type std_ulogic is ('U', 'X', '0', '1', 'Z', 'W', 'L', 'H', '-');\n"
        "  type std_ulogic_vector is array (natural range <>) of std_ulogic;\n"
        "  function resolved (s : std_ulogic_vector) return std_ulogic;\n"
        "  subtype std_logic is resolved std_ulogic;\n"
        "  subtype std_logic_vector is std_ulogic_vector;\n"
        "  function rising_edge (signal s : std_ulogic) return boolean;\nend package;\n"
    )
    numeric = (
        "library ieee;\nuse ieee.std_logic_1164.all;\npackage numeric_std is\n"
        "  type unsigned is array (natural range <>) of std_logic;\n"
        "  function to_integer (arg : unsigned) return natural;\nend package;\n"
    )
    plain = depths(judge({"store.vhd": store("64")}))
    files = {"ieee/logic.vhdl": logic, "ieee/numeric.vhdl": numeric, "store.vhd": store("64")}
    for libraries in ({}, {"ieee": ("ieee/*.vhdl",)}):
        judgement = judge(files, libraries)
        assert depths(judgement) == plain == {"store.line": 64}
        (view,) = judgement.memories
        assert (view.memory.width, view.memory.read) == (8, "synchronous")
        assert {clock.net for clock in view.memory.clocks} == {"store.clk"}


def test_a_context_brings_its_libraries_and_packages() -> None:
    context = (
        "context optics_context is\n  library ieee;\n  use ieee.std_logic_1164.all;\n"
        "  use ieee.numeric_std.all;\n  library optics;\n  use optics.sizes.all;\nend context;\n"
    )
    files = {
        "optics/context.vhd": context,
        "optics/sizes.vhd": "package sizes is\n  constant DEPTH : positive := 96;\nend package;\n",
        "store.vhd": store("DEPTH").replace(USE, "library optics;\ncontext optics.optics_context;\n"),
    }
    assert depths(judge(files, {"optics": ("optics/*.vhd",)})) == {"store.line": 96}
