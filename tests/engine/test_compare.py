"""What changed between a revision and the working tree, and why: one edit, one answer.

The shapes, nets and places are read off the sources in tests/revisions.py; block counts are worked out from
memlint/device/profiles/sorter-m.toml: a block holds 24,576 bits as 2048 x 12, 1024 x 24 and so on, a half
of one 512 x 24.
"""

from __future__ import annotations

import re
import shutil
from fractions import Fraction
from pathlib import Path

import pytest
from revisions import CONFIG, PROJECT, STORE, TOP, Repository, needs_git, one_change, said, told

pytestmark = needs_git
FRONT = "sorter.u_front.pixels"
SORTER = Path(__file__).parents[2] / "fixtures" / "sorter"


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    made = Repository(tmp_path)
    made.write(PROJECT)
    made.commit()
    return made


def causes(repository: Repository, what: str = "shape") -> list[str]:
    """The causes of what changed about the only memory that did."""
    comparison = repository.compared()
    return [told(one, comparison) for one in said(one_change(comparison), what).causes]


def test_nothing_changed(repository: Repository) -> None:
    comparison = repository.compared()
    assert (comparison.memories, comparison.unchanged) == ((), 1)
    assert (comparison.new_findings, comparison.gone_findings) == ((), ())
    assert not any(one.differs for one in (*comparison.tiers, *comparison.units))


def test_a_constant_in_a_package_one_word_up(repository: Repository) -> None:
    repository.replace("rtl/cfg_pkg.sv", "DEPTH = 2048", "DEPTH = 2049")
    comparison = repository.compared()
    change = one_change(comparison)
    assert (change.kind, change.path) == ("changed", FRONT)
    shape = said(change, "shape")
    assert (shape.before, shape.after) == ("2,048 x 24", "2,049 x 24")
    assert [told(one, comparison) for one in shape.causes] == ["`DEPTH` 2,048 → 2,049 @ rtl/cfg_pkg.sv:2"]
    # The one word more takes half a block of 512 x 24.
    (tier,) = comparison.tiers
    assert (tier.name, tier.tier, tier.available) == ("sorter", "block", 220)
    assert (tier.before.blocks, tier.after.blocks) == (Fraction(2), Fraction(5, 2))
    units = {one.name: (one.before.blocks, one.after.blocks) for one in comparison.units}
    assert units == {name: (Fraction(2), Fraction(5, 2)) for name in ("line_store", "sorter")}


def test_a_constant_behind_another_is_the_cause_and_not_those_that_follow(repository: Repository) -> None:
    lines = "localparam int unsigned LINES = 2;\n  localparam int unsigned DEPTH = LINES * 1024;"
    repository.replace("rtl/cfg_pkg.sv", "localparam int unsigned DEPTH = 2048;", lines)
    repository.commit()
    repository.replace("rtl/cfg_pkg.sv", "LINES = 2", "LINES = 4")
    assert causes(repository) == ["`LINES` 2 → 4 @ rtl/cfg_pkg.sv:2"]


def test_spelling_a_constant_otherwise_is_no_change(repository: Repository) -> None:
    repository.replace("rtl/cfg_pkg.sv", "DEPTH = 2048", "DEPTH = 2 * 1024 /* a line */")
    assert repository.compared().memories == ()


@pytest.mark.parametrize(
    ("old", "new", "cause"),
    [
        (".WORDS(DEPTH)", ".WORDS(DEPTH + 1)", "`WORDS` 2,048 → 2,049 @ rtl/sorter.sv:9"),
        (
            ".WORDS(DEPTH), ",
            "",
            "`WORDS` 2,048 → 1,024, no longer set by the instance @ rtl/line_store.sv:3",
        ),
    ],
)
def test_an_instance_that_overrides_otherwise(repository: Repository, old: str, new: str, cause: str) -> None:
    repository.replace("rtl/sorter.sv", old, new)
    assert causes(repository) == [cause]


def test_an_instance_that_begins_to_override(repository: Repository) -> None:
    repository.replace("rtl/sorter.sv", ".WORDS(DEPTH), ", "")
    repository.commit()
    repository.write({"rtl/sorter.sv": TOP})
    assert causes(repository) == ["`WORDS` 1,024 → 2,048, now set by the instance @ rtl/sorter.sv:9"]


def test_a_default_that_is_overridden_is_no_cause(repository: Repository) -> None:
    repository.replace("rtl/line_store.sv", "WORDS = 1024", "WORDS = 64")
    repository.replace("rtl/cfg_pkg.sv", "DEPTH = 2048", "DEPTH = 4096")
    assert causes(repository) == ["`DEPTH` 2,048 → 4,096 @ rtl/cfg_pkg.sv:2"]


def test_a_number_in_the_declaration(repository: Repository) -> None:
    repository.replace("rtl/line_store.sv", "pixels [WORDS]", "pixels [WORDS + 1]")
    assert causes(repository) == [
        "the declaration `logic [BITS-1:0] pixels [WORDS];` → `logic [BITS-1:0] pixels [WORDS + 1];`"
        " @ rtl/line_store.sv:12"
    ]


def test_a_field_more_in_a_type(repository: Repository) -> None:
    word = "typedef struct packed {\n    logic [WIDTH-1:0] pixel;\n  } word_t;\n"
    repository.replace("rtl/cfg_pkg.sv", "endpackage", f"  {word}endpackage")
    repository.replace("rtl/sorter.sv", ".BITS(WIDTH)", ".BITS($bits(word_t))")
    repository.commit()
    repository.replace("rtl/cfg_pkg.sv", "pixel;", "pixel;\n    logic first;")
    # The name of the type stands below the new field.
    assert causes(repository) == ["`word_t` 24 → 25 bits @ rtl/cfg_pkg.sv:8"]


def test_a_macro_in_an_included_file(repository: Repository) -> None:
    repository.write({"rtl/sizes.svh": "// Sizes.\n`define LINE_PIXELS 2048\n"})
    repository.replace("rtl/cfg_pkg.sv", "package cfg_pkg;", '`include "sizes.svh"\npackage cfg_pkg;')
    repository.replace("rtl/cfg_pkg.sv", "DEPTH = 2048", "DEPTH = `LINE_PIXELS")
    repository.commit()
    repository.replace("rtl/sizes.svh", "2048", "4096")
    assert causes(repository) == ["macro `LINE_PIXELS` `2048` → `4096` @ rtl/sizes.svh:2"]


def test_a_macro_of_the_settings(repository: Repository) -> None:
    repository.replace("rtl/cfg_pkg.sv", "DEPTH = 2048", "DEPTH = `LINE_PIXELS")
    repository.write({"memlint.toml": CONFIG + "defines = { LINE_PIXELS = 2048 }\n"})
    repository.commit()
    repository.replace("memlint.toml", "2048", "4096")
    assert causes(repository) == ["macro `LINE_PIXELS` `2048` → `4096`"]


def test_a_parameter_of_the_settings(repository: Repository) -> None:
    repository.replace("rtl/sorter.sv", "  import cfg_pkg::*;", "  import cfg_pkg::*;\n #(int LINES = 1)")
    repository.replace("rtl/sorter.sv", ".WORDS(DEPTH)", ".WORDS(LINES * DEPTH)")
    repository.commit()
    repository.write({"memlint.toml": CONFIG + "[parameters]\nLINES = 2\n"})
    assert causes(repository) == ["`LINES` not given → 2 under `[parameters]`"]


def test_a_vhdl_constant(tmp_path: Path) -> None:
    made = Repository(tmp_path)
    package = "package sizes is\n  constant depth : positive := 2048;\nend package;\n"
    entity = """\
library ieee; use ieee.std_logic_1164.all; use ieee.numeric_std.all; use work.sizes.all;
entity replay is
  port (clk : in std_logic; a : in unsigned(10 downto 0); d : in std_logic_vector(23 downto 0);
        q : out std_logic_vector(23 downto 0));
end entity;
architecture rtl of replay is
  type frames is array (0 to depth - 1) of std_logic_vector(23 downto 0);
  signal frame : frames;
begin
  process (clk) begin
    if rising_edge(clk) then
      frame(to_integer(a)) <= d;
      q <= frame(to_integer(a));
    end if;
  end process;
end architecture;
"""
    made.write({"memlint.toml": 'device = "sorter-m"\n', "sizes.vhd": package, "replay.vhd": entity})
    made.commit()
    made.replace("sizes.vhd", "2048", "2000")
    assert causes(made) == ["`depth` 2,048 → 2,000 @ sizes.vhd:2"]


def test_a_shape_that_becomes_unknown_says_so(repository: Repository) -> None:
    repository.replace("rtl/sorter.sv", ".WORDS(DEPTH)", ".WORDS(DEEP)")
    comparison = repository.compared()
    shape = said(one_change(comparison), "shape")
    assert (shape.before, shape.after) == ("2,048 x 24", "? x 24")
    assert [told(one, comparison) for one in shape.causes] == ["`WORDS` 2,048 → not known @ rtl/sorter.sv:9"]
    (tier,) = comparison.tiers
    assert (tier.after.blocks, tier.after.unknown) == (Fraction(0), 1)


def test_a_second_clock(repository: Repository) -> None:
    repository.replace("rtl/line_store.sv", "in block", "in bulk")
    repository.commit()
    repository.replace("rtl/line_store.sv", "(posedge pix_clk) q", "(posedge proc_clk) q")
    comparison = repository.compared()
    clocks = said(one_change(comparison), "clocks")
    assert (clocks.before, clocks.after) == ("sorter.pix_clk", "sorter.pix_clk, sorter.proc_clk")
    assert [told(one, comparison) for one in clocks.causes] == [
        "the read at `ra` went from sorter.pix_clk to sorter.proc_clk @ rtl/line_store.sv:14"
    ]
    assert [(one.rule, one.paths) for one in comparison.new_findings] == [
        ("two-clocks-on-one-clock-tier", (FRONT,))
    ]


def test_another_read(repository: Repository) -> None:
    repository.replace("rtl/line_store.sv", "output logic [BITS-1:0] q", "output logic [BITS-1:0] q, p")
    repository.replace(
        "rtl/line_store.sv", "endmodule", "  always_ff @(posedge pix_clk) p <= pixels[wa + 1];\nendmodule"
    )
    comparison = repository.compared()
    ports = said(one_change(comparison), "ports")
    assert (ports.before, ports.after) == ("1w 1r", "1w 2r")
    assert [told(one, comparison) for one in ports.causes] == [
        "a read at `wa + 1` on sorter.pix_clk was added @ rtl/line_store.sv:15"
    ]
    assert [one.rule for one in comparison.new_findings] == ["port-drift"]
    repository.commit()
    repository.write({"rtl/line_store.sv": STORE})
    assert causes(repository, "ports") == [
        "the read at `wa + 1` on sorter.pix_clk is gone @ old rtl/line_store.sv:15"
    ]


def test_a_read_that_loses_its_register(repository: Repository) -> None:
    repository.replace("rtl/line_store.sv", "q <= pixels[ra];", "q <= pixels[ra] + 1;")
    comparison = repository.compared()
    read = said(one_change(comparison), "read")
    assert (read.before, read.after) == ("synchronous", "asynchronous")
    assert [told(one, comparison) for one in read.causes] == [
        "read at `ra`: the word now goes through `+` @ rtl/line_store.sv:14"
    ]


def test_another_tier_named_by_the_intent(repository: Repository) -> None:
    repository.replace("rtl/line_store.sv", "in block", "in bulk")
    comparison = repository.compared()
    tier = said(one_change(comparison), "tier")
    assert (tier.before, tier.after) == ("block", "bulk")
    assert [told(one, comparison) for one in tier.causes] == ["`in block` → `in bulk` @ rtl/line_store.sv:11"]


def test_another_tier_named_by_an_attribute(repository: Repository) -> None:
    # IEEE Std 1364.1: ram_block and logic_block.
    repository.replace("rtl/line_store.sv", "//@mem in block; ports 1w 1r", '(* ram_block = "1" *)')
    repository.commit()
    repository.replace("rtl/line_store.sv", "ram_block", "logic_block")
    assert causes(repository, "tier") == [
        "the attribute for `block` → the attribute for `logic` @ rtl/line_store.sv:11"
    ]


def test_a_clause_added_and_taken_away(repository: Repository) -> None:
    repository.replace("rtl/line_store.sv", "in block; ", "")
    repository.commit()
    repository.replace("rtl/line_store.sv", "ports 1w 1r", "in bulk; ports 1w 1r")
    assert causes(repository, "tier") == ["`in bulk` was added @ rtl/line_store.sv:11"]
    repository.commit()
    repository.replace("rtl/line_store.sv", "in bulk; ", "")
    assert causes(repository, "tier") == [
        "`in bulk` is gone: the tier is assumed now @ old rtl/line_store.sv:11"
    ]


def test_an_assumed_tier_that_is_outgrown(repository: Repository) -> None:
    repository.replace("rtl/line_store.sv", "in block; ", "")
    repository.replace("rtl/cfg_pkg.sv", "DEPTH = 2048", "DEPTH = 32")
    repository.commit()
    # At most 32 words deep it is assumed in fabric (design.md, section 4).
    repository.replace("rtl/cfg_pkg.sv", "DEPTH = 32", "DEPTH = 64")
    comparison = repository.compared()
    tier = said(one_change(comparison), "tier")
    assert (tier.before, tier.after) == ("fabric", "block")
    assert [told(one, comparison) for one in tier.causes] == [
        "the tier is assumed: 32 x 24 → 64 x 24 @ rtl/line_store.sv:12"
    ]


def test_write_lanes_that_cost_blocks(repository: Repository) -> None:
    lanes = "if (we) begin pixels[wa][0+:8] <= d[0+:8]; if (ra[0]) pixels[wa][8+:16] <= d[8+:16]; end"
    repository.replace("rtl/line_store.sv", "if (we) pixels[wa] <= d;", lanes)
    comparison = repository.compared()
    blocks = said(one_change(comparison), "blocks")
    # Without enables in its shapes of 12 bits a block holds bits of one lane: 8 and 16 bits of 2,048
    # words are 1 and 2 strips of 12 bits, or 24 bits wide with enables of 12: 16 bits take both.
    assert blocks.before == "2"
    assert Fraction(blocks.after) > 2
    assert [told(one, comparison) for one in blocks.causes] == [
        "write lanes none → 16 + 8 @ rtl/line_store.sv:12"
    ]


def test_a_profile_that_says_something_else(repository: Repository) -> None:
    profile = """\
[device]
name = "own"
[[source]]
id = "invented"
title = "invented for this test"
facts = ["*"]
[[tier]]
name = "block"
role = "block"
block_bits = 24576
blocks = 64
clocks = "any"
read = "synchronous"
[tier.modes.simple_dual]
shapes = [[2048, 12]]
"""
    repository.write({"own.toml": profile, "memlint.toml": CONFIG.replace("sorter-m", "own.toml")})
    repository.commit()
    repository.replace("own.toml", "[[2048, 12]]", "[[2048, 8]]")
    comparison = repository.compared()
    blocks = said(one_change(comparison), "blocks")
    assert (blocks.before, blocks.after) == ("2", "3")
    assert [told(one, comparison) for one in blocks.causes] == [
        "the profile of own says other modes of `block`"
    ]


def test_another_device(repository: Repository) -> None:
    repository.replace("memlint.toml", "sorter-m", "sorter-m/sorter-l")
    comparison = repository.compared()
    assert comparison.memories == ()
    assert comparison.old.judgement.device.name == "sorter-m"
    assert comparison.new.judgement.device.name == "sorter-m/sorter-l"


def test_unsaved_text_is_compared_too(repository: Repository) -> None:
    unsaved = PROJECT["rtl/cfg_pkg.sv"].replace("DEPTH = 2048", "DEPTH = 1024")
    change = one_change(repository.compared(unsaved={"rtl/cfg_pkg.sv": unsaved}))
    assert said(change, "shape").after == "1,024 x 24"
    assert repository.compared().memories == ()


def test_a_planned_memory(repository: Repository) -> None:
    plan = "  // @mem plan rejects; in bulk; shape 8K x 40\n"
    repository.replace("rtl/sorter.sv", "  line_store", plan + "  line_store")
    comparison = repository.compared()
    change = one_change(comparison)
    assert (change.kind, change.path) == ("added", "sorter.rejects")
    repository.commit()
    repository.replace("rtl/sorter.sv", "8K x 40", "16K x 40")
    assert causes(repository) == ["`shape 8K x 40` → `shape 16K x 40` @ rtl/sorter.sv:9"]


def test_an_instance_more(repository: Repository) -> None:
    second = "  line_store #(.WORDS(512), .BITS(WIDTH)) u_rear (.q(q[1]), .*);\nendmodule"
    repository.replace("rtl/sorter.sv", "endmodule", second)
    comparison = repository.compared()
    change = one_change(comparison)
    assert (change.kind, change.path, change.old) == ("added", "sorter.u_rear.pixels", None)
    assert [told(one, comparison) for one in change.causes] == [
        "the instance `sorter.u_rear` of `line_store` is new @ rtl/sorter.sv:10"
    ]
    repository.commit()
    repository.write({"rtl/sorter.sv": TOP})
    comparison = repository.compared()
    change = one_change(comparison)
    assert (change.kind, change.path, change.new) == ("removed", "sorter.u_rear.pixels", None)
    assert [told(one, comparison) for one in change.causes] == [
        "the instance `sorter.u_rear` of `line_store` is gone @ old rtl/sorter.sv:10"
    ]
    # 512 x 24 is half a block.
    (tier,) = comparison.tiers
    assert (tier.before.blocks, tier.after.blocks) == (Fraction(5, 2), Fraction(2))


LOOP = TOP.replace(
    "  line_store #(.WORDS(DEPTH), .BITS(WIDTH)) u_front (.q(q[0]), .*);\n",
    "  for (genvar c = 0; c < CAMERAS; c++) begin : g_camera\n"
    "    line_store #(.WORDS(DEPTH), .BITS(WIDTH)) u_store (.q(q[c]), .*);\n"
    "  end\n",
)


def test_a_generate_loop_that_turns_once_more(repository: Repository) -> None:
    repository.write({"rtl/sorter.sv": LOOP})
    repository.commit()
    repository.replace("rtl/cfg_pkg.sv", "CAMERAS = 1", "CAMERAS = 2")
    comparison = repository.compared()
    change = one_change(comparison)
    assert (change.kind, change.path) == ("added", "sorter.g_camera[1].u_store.pixels")
    assert [told(one, comparison) for one in change.causes] == [
        "the instance `sorter.g_camera[1].u_store` of `line_store` is new @ rtl/sorter.sv:10",
        "`CAMERAS` 1 → 2 @ rtl/cfg_pkg.sv:4",
    ]


def test_a_generate_condition_that_no_longer_holds(repository: Repository) -> None:
    guarded = "  if (CAMERAS == 1) begin : g_one\n  line_store"
    repository.replace("rtl/sorter.sv", "  line_store", guarded)
    repository.replace("rtl/sorter.sv", "endmodule", "  end\nendmodule")
    repository.commit()
    repository.replace("rtl/sorter.sv", "CAMERAS == 1", "CAMERAS > 1")
    comparison = repository.compared()
    change = one_change(comparison)
    assert (change.kind, change.path) == ("removed", "sorter.g_one.u_front.pixels")
    assert [told(one, comparison) for one in change.causes] == [
        "the instance `sorter.g_one.u_front` of `line_store` is gone @ old rtl/sorter.sv:10",
        "the generate construct `if (CAMERAS == 1) begin : g_one` → `if (CAMERAS > 1) begin : g_one`"
        " @ rtl/sorter.sv:9",
    ]


def test_an_instance_of_another_name(repository: Repository) -> None:
    repository.replace("rtl/sorter.sv", "u_front", "u_first")
    comparison = repository.compared()
    change = one_change(comparison)
    assert (change.kind, change.path, change.changes) == ("moved", "sorter.u_first.pixels", ())
    assert change.old is not None and change.old.memory.path == FRONT
    assert [told(one, comparison) for one in change.causes] == [
        "`sorter.u_front` is `sorter.u_first` now @ rtl/sorter.sv:9"
    ]
    assert not any(one.differs for one in comparison.tiers)


@pytest.mark.parametrize(("old", "new"), [("g_camera", "g_side"), ("u_store", "u_lines")])
def test_alike_instances_are_told_apart_by_what_their_paths_share(
    repository: Repository, old: str, new: str
) -> None:
    repository.replace("rtl/cfg_pkg.sv", "CAMERAS = 1", "CAMERAS = 3")
    repository.write({"rtl/sorter.sv": LOOP})
    repository.commit()
    repository.replace("rtl/sorter.sv", old, new)
    paths = [f"sorter.g_camera[{at}].u_store.pixels" for at in range(3)]
    moves = [(one.kind, one.old and one.old.memory.path, one.path) for one in repository.compared().memories]
    assert moves == [("moved", path, path.replace(old, new)) for path in paths]


def test_instances_that_nothing_tells_apart_are_not_guessed_at(repository: Repository) -> None:
    def two(first: str, second: str) -> str:
        line = "  line_store #(.WORDS(DEPTH), .BITS(WIDTH)) {} (.q(q[{}]), .*);\n"
        return TOP.replace(line.format("u_front", 0), line.format(first, 0) + line.format(second, 1))

    repository.write({"rtl/sorter.sv": two("u_front", "u_rear")})
    repository.commit()
    repository.write({"rtl/sorter.sv": two("u_upper", "u_lower")})
    kinds = sorted(one.kind for one in repository.compared().memories)
    assert kinds == ["added", "added", "removed", "removed"]


def test_a_file_of_another_name_is_no_change(repository: Repository) -> None:
    (repository.folder / "rtl/line_store.sv").rename(repository.folder / "rtl/store.sv")
    comparison = repository.compared()
    assert (comparison.memories, comparison.unchanged) == ((), 1)
    assert (comparison.new_findings, comparison.gone_findings) == ((), ())


def test_an_array_that_is_no_memory_any_more(repository: Repository) -> None:
    repository.replace("rtl/line_store.sv", "pixels[ra]", "pixels[1]")
    repository.replace("rtl/line_store.sv", "pixels[wa]", "pixels[0]")
    comparison = repository.compared()
    change = one_change(comparison)
    assert change.kind == "removed"
    (cause,) = [told(one, comparison) for one in change.causes]
    assert cause.startswith("the array is no memory any more: ")
    assert cause.endswith("@ rtl/line_store.sv:12")


def test_a_unit_whose_source_one_side_lacks(repository: Repository) -> None:
    (repository.folder / "rtl/line_store.sv").unlink()
    comparison = repository.compared()
    change = one_change(comparison)
    assert change.kind == "removed"
    assert [told(one, comparison) for one in change.causes] == [
        "the source of unit `line_store` is not in working tree @ rtl/sorter.sv:9"
    ]


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Repository:
    """The demo project, committed."""
    made = Repository(tmp_path_factory.mktemp("demo"))
    shutil.copytree(SORTER, made.folder, dirs_exist_ok=True)
    made.commit()
    return made


RINGS = {f"sorter_top.u_ejector.g_group[{at}].u_delay.ring" for at in range(4)}


@pytest.mark.parametrize(
    ("file", "constant", "memories"),
    [
        # In the declaration's own constants, across an instance, within a type across an instance, in VHDL.
        ("rtl/sorter_pkg.sv", "SNAPSHOT_LINES", {"sorter_top.u_snapshot.words"}),
        ("rtl/sorter_pkg.sv", "DROP_LINES", RINGS),
        ("rtl/sorter_pkg.sv", "PATTERNS", {*RINGS, "sorter_top.u_ejector.u_pattern.patterns"}),
        (
            "rtl/sensor_pkg.vhd",
            "NIR_BITS",
            {f"sorter_top.g_camera[{at}].u_channel.u_front_end.u_nir_fifo.u_ram.mem" for at in range(2)},
        ),
    ],
)
def test_in_the_demo_project_the_constant_that_was_edited_is_the_cause(
    demo: Repository, file: str, constant: str, memories: set[str]
) -> None:
    text = (demo.folder / file).read_text()
    edited = re.sub(rf"(\b{constant}\b[^;]*=[^;]*);", r"\1 + 1;", text, count=1)
    comparison = demo.compared(unsaved={file: edited})
    assert {one.path for one in comparison.memories} == memories
    for change in comparison.memories:
        (cause,) = said(change, "shape").causes
        assert cause.text.lower().startswith(f"`{constant.lower()}` ")
        assert cause.span is not None and cause.span.file == file
