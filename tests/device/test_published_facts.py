"""Built-in profiles against what the named documents print. Values are copied from those documents."""

from __future__ import annotations

from math import ceil

import pytest

from memlint.device.facts import Mode, Tier
from memlint.device.profile import load_profile


def tier(device: str, name: str) -> Tier:
    found = load_profile(device).tier(name)
    assert found is not None
    return found


def mode(device: str, name: str, mode_name: str) -> Mode:
    found = tier(device, name).mode(mode_name)
    assert found is not None
    return found


def shapes(device: str, tier_name: str, mode_name: str) -> set[tuple[int, int]]:
    return {(shape.depth, shape.width) for shape in mode(device, tier_name, mode_name).shapes}


KBIT = 1024

TOTALS = [
    # device, tier, total bits of the device, source
    ("ice40/LP640", "ebr", 32 * KBIT, "DS1040 Table 1-1"),
    ("ice40/LP1K", "ebr", 64 * KBIT, "DS1040 Table 1-1"),
    ("ice40/HX4K", "ebr", 80 * KBIT, "DS1040 Table 1-1"),
    ("ice40/HX8K", "ebr", 128 * KBIT, "DS1040 Table 1-1"),
    ("ice40-ultraplus/iCE40UP3K", "ebr", 80 * KBIT, "iCE40 UltraPlus Family Data Sheet Table 2.1"),
    ("ice40-ultraplus/iCE40UP5K", "ebr", 120 * KBIT, "iCE40 UltraPlus Family Data Sheet Table 2.1"),
    ("ice40-ultraplus/iCE40UP5K", "spram", 1024 * KBIT, "iCE40 UltraPlus Family Data Sheet Table 2.1"),
    ("ecp5/LFE5U-12F", "ebr", 576 * KBIT, "FPGA-DS-02012 Table 1.1 as quoted in a public script"),
    ("nexus/LIFCL-40", "ebr", 1_548_288, "public test file for LIFCL-40: 84 x 18,432 bits"),
    ("cyclone4-max10/10CL025", "m9k", 594 * KBIT, "ID 683879 Table 4"),
    ("cyclone4-max10/EP4CE115", "m9k", 3888 * KBIT, "DE2-115 board manual"),
    ("arria10/10CX220", "m20k", 11_740 * KBIT, "ID 683696 A.2"),
    ("gw1n-gw2a/GW1NSR-4", "bsram", 180 * KBIT, "DS861 Table 1-1"),
    ("gw1n-gw2a/GW2A-18", "bsram", 828 * KBIT, "public project notes quoting the official table"),
]


@pytest.mark.parametrize(("device", "name", "bits", "source"), TOTALS, ids=lambda value: str(value))
def test_blocks_times_block_bits_is_the_printed_total(device: str, name: str, bits: int, source: str) -> None:
    found = tier(device, name)
    assert found.blocks is not None and found.block_bits is not None
    assert found.blocks * found.block_bits == bits, source


def test_the_largest_polarfire_total() -> None:
    # RT PolarFire packaging overview, RTPF500T: 33 Mbit; 1,520 x 20,480 + 4,440 x 768 bits.
    total = sum((one.blocks or 0) * (one.block_bits or 0) for one in load_profile("polarfire/RTPF500T").tiers)
    assert total == 34_539_520
    assert round(total / 2**20) == 33


def test_eight_channels_make_the_printed_esram() -> None:
    # ID 683225 / 683149 Table 9: 8 channels x 42 banks x 2,048 words x 72 bits = 47.25 Mbit.
    assert 8 * (tier("stratix10", "esram").block_bits or 0) == 49_545_216 == 47.25 * 2**20


def test_port_pairings_of_the_polarfire_block() -> None:
    # Macro library, RAM1K20: 25 pairings in dual-port use, 36 in two-port use, of 5 and 6 depths.
    assert len({depth for depth, _ in shapes("polarfire", "lsram", "true_dual")}) ** 2 == 25
    assert len({depth for depth, _ in shapes("polarfire", "lsram", "simple_dual")}) ** 2 == 36


COUNTS = [
    # device, tier, mode, depth, width, blocks, source
    ("ice40", "ebr", "simple_dual", 4096, 6, 6, "comment in a public Verilog file, module tile_memory"),
    ("ice40-ultraplus", "spram", "single", 65536, 16, 4, "UltraPlus data sheet: deepest build, 64K x 16"),
    ("ice40-ultraplus", "spram", "single", 16384, 32, 2, "projectf.io 'SPRAM on iCE40 FPGA'"),
    ("cyclone5", "m10k", "simple_dual", 512, 18, 1, "course page 'Memory on Cyclone5 FPGA'"),
    ("stratix10", "mlab", "simple_dual", 32, 512, 26, "ID 683423 4.4.5.1, arithmetic on its printed rule"),
    ("polarfire", "lsram", "true_dual", 32768, 1, 2, "PolarFire Fabric User Guide: cascaded deep"),
    ("polarfire", "lsram", "true_dual", 16384, 2, 2, "PolarFire Fabric User Guide: cascaded wide"),
    ("polarfire", "usram", "simple_dual", 128, 12, 2, "PolarFire Fabric User Guide: cascaded deep"),
    ("polarfire", "usram", "simple_dual", 64, 24, 2, "PolarFire Fabric User Guide: cascaded wide"),
]


@pytest.mark.parametrize(("device", "name", "mode_name", "depth", "width", "blocks", "source"), COUNTS)
def test_the_shapes_give_the_published_block_counts(
    device: str, name: str, mode_name: str, depth: int, width: int, blocks: int, source: str
) -> None:
    # The sources count one shape for the whole memory, rounded up both ways.
    least = min(ceil(depth / deep) * ceil(width / wide) for deep, wide in shapes(device, name, mode_name))
    assert least == blocks, source


def test_published_slices_of_the_m9k() -> None:
    # ID 683240: 8,192 x 36 takes 36 blocks in the default slice 8K x 1, and 32 in slices of 1K.
    counts = {
        deep: ceil(8192 / deep) * ceil(36 / wide)
        for deep, wide in sorted(shapes("cyclone4-max10", "m9k", "single"))  # the widest of a depth last
    }
    assert (counts[8192], counts[1024]) == (36, 32)
    # Article 000076339: a 32-bit true-dual port takes two blocks of 16, since none is 32 wide.
    assert max(width for _, width in shapes("cyclone4-max10", "m9k", "true_dual") if width % 9) == 16


WIDEST = [
    ("cyclone4-max10", "m9k", 36, 18, "ID 683431, 2.4.3"),
    ("cyclone5", "m10k", 40, 20, "ID 683375, 2.3.2.1"),
    ("arria10", "m20k", 40, 20, "glossary entry 'M20K memory block'"),
    ("polarfire", "lsram", 40, 20, "PolarFire Fabric User Guide, 5.1.1"),
    ("gw1n-gw2a", "bsram", 36, 18, "DS861 Table 2-5"),
    ("ecp5", "ebr", 36, 18, "Project Trellis, EBR fuzzer"),
    ("nexus", "ebr", 36, 18, "Project Oxide, 060-ebr-config"),
]


@pytest.mark.parametrize(("device", "name", "simple", "true", "source"), WIDEST)
def test_two_full_ports_are_half_as_wide(device: str, name: str, simple: int, true: int, source: str) -> None:
    assert max(width for _, width in shapes(device, name, "simple_dual")) == simple, source
    assert max(width for _, width in shapes(device, name, "true_dual")) == true, source


def test_write_enables_only_where_the_documents_say_so() -> None:
    # DS1040: a bit mask in the 256 x 16 shape only.
    assert mode("ice40", "ebr", "simple_dual").enables == ((16, 1),)
    # UltraPlus data sheet: MASKWREN[3:0], one a nibble.
    assert mode("ice40-ultraplus", "spram", "single").enables == ((16, 4),)
    # ID 683431: 8 bits for x16/x32, 9 for x18/x36, none at other widths.
    assert set(mode("cyclone4-max10", "m9k", "simple_dual").enables) == {(16, 8), (32, 8), (18, 9), (36, 9)}
    # PolarFire Fabric User Guide: one W_EN in the uSRAM's port list.
    assert mode("polarfire", "usram", "simple_dual").enables == ()
    assert "enables" not in tier("polarfire", "usram").unknown
    # No document here speaks of write enables of the ECP5 block.
    assert "enables" in tier("ecp5", "ebr").unknown


def test_hardened_ecc() -> None:
    # PolarFire Fabric User Guide: 33 data + 7 check bits = 40, in two-port use only.
    (ecc,) = tier("polarfire", "lsram").ecc
    assert (ecc.mode, ecc.data, ecc.check, ecc.lanes) == ("simple_dual", 33, 7, False)
    # ID 683461: built in for x32 simple dual port only; no document here gives its check bits.
    (ecc,) = tier("arria10", "m20k").ecc
    assert (ecc.mode, ecc.data, ecc.check) == ("simple_dual", 32, None)
    # FPGA-TN-02094 as cited: only in the 512 x 36 form; data and check bits not given.
    (ecc,) = tier("nexus", "ebr").ecc
    assert (ecc.shapes[0].depth, ecc.shapes[0].width, ecc.data) == (512, 36, None)
    # ID 683375: the M10K has soft logic only. DS1040 is silent on ECC.
    assert tier("cyclone5", "m10k").ecc == () and "ecc" not in tier("cyclone5", "m10k").unknown
    assert tier("ice40", "ebr").ecc == () and "ecc" in tier("ice40", "ebr").unknown


CLOCKS = [
    ("ice40", "ebr", "any", "DS1040: separate WCLK and RCLK"),
    ("ice40-ultraplus", "spram", "one", "UltraPlus data sheet: one CLOCK pin"),
    ("nexus", "lram", "one", "Project Oxide: one CLK input for both ports"),
    ("polarfire", "lsram", "any", "PolarFire Fabric User Guide: A_CLK and B_CLK"),
    ("arria10", "mlab", None, "no document here says"),
]


@pytest.mark.parametrize(("device", "name", "clocks", "source"), CLOCKS)
def test_clocks(device: str, name: str, clocks: str | None, source: str) -> None:
    assert tier(device, name).clocks == clocks, source


def test_true_dual_port_of_stratix_10_has_one_clock_and_no_documented_shapes() -> None:
    # ID 683423 Table 10 restricts true dual port to one clock.
    true_dual = mode("stratix10", "m20k", "true_dual")
    assert (true_dual.clocks, true_dual.shapes) == ("one", ())


def test_contents_at_power_up() -> None:
    # UltraPlus data sheet: no preload of the SPRAM exists; the EBR has one.
    assert tier("ice40-ultraplus", "spram").initial_contents == "none"
    assert tier("ice40-ultraplus", "ebr").initial_contents == "any"
    # DS1040: address 0 cannot be initialised, so neither `any` nor `none` would be true.
    assert tier("ice40", "ebr").initial_contents is None


def test_halves_of_an_m9k() -> None:
    # ID 683431: two single-port memories share a block, each at most half of it and 18 bits wide.
    found = tier("cyclone4-max10", "m9k")
    halves = mode("cyclone4-max10", "m9k", "single").half_shapes
    assert found.splits == 2
    assert {(half.depth, half.width) for half in halves} >= {(512, 9), (256, 18), (4096, 1)}
    assert all(half.width <= 18 and half.depth * half.width * 2 <= 9216 for half in halves)
    assert mode("cyclone4-max10", "m9k", "simple_dual").half_shapes == ()


def test_unequal_widths() -> None:
    # ID 683375: inside {1,2,4,8,16,32} or inside {5,10,20,40}, never across.
    assert mode("cyclone5", "m10k", "simple_dual").width_groups == ((1, 2, 4, 8, 16, 32), (5, 10, 20, 40))
    # ID 683431: ratios up to 32 in simple dual port, 16 in true dual port.
    assert mode("cyclone4-max10", "m9k", "simple_dual").max_ratio == 32
    assert mode("cyclone4-max10", "m9k", "true_dual").max_ratio == 16
    # Hardware tables of the SPRAM (UltraPlus data sheet) and the uSRAM (ugpf): equal sizes.
    assert tier("ice40-ultraplus", "spram").unequal_port_widths is False
    assert tier("polarfire", "usram").unequal_port_widths is False


LATENCIES = [
    ("nexus", "lram", 1, 1, "two open libraries' LRAM declarations: 1 or 2"),
    ("gw1n-gw2a", "bsram", 1, 1, "DS861: bypass or pipeline read"),
    ("polarfire", "usram", 0, 2, "PolarFire Fabric User Guide: both read registers optional"),
    ("ice40", "ebr", None, None, "no document here says"),
]


@pytest.mark.parametrize(("device", "name", "latency", "registers", "source"), LATENCIES)
def test_read_latency(
    device: str, name: str, latency: int | None, registers: int | None, source: str
) -> None:
    found = tier(device, name)
    assert (found.read_latency, found.output_registers) == (latency, registers), source


def test_what_no_document_states_is_unknown() -> None:
    lifcl17 = load_profile("nexus/LIFCL-17")
    # Project Oxide lists 5 large blocks on LIFCL-17; nobody here counts its small ones.
    assert [(one.name, one.blocks) for one in lifcl17.tiers] == [("pfu", None), ("ebr", None), ("lram", 5)]
    assert (lifcl17.target_mhz, lifcl17.mux_ways) == (None, None)
    assert all(one.idle_uw is None for one in lifcl17.tiers)
