"""Block counts that vendors and others published, reproduced from the published shapes.

Shapes and counts are copied from the reference page families.toml, examples with oracle = true; the source
named beside each is that page's.
"""

import pytest
from mapping_devices import device, mode, on, only, shapes, tier

from memlint.device.facts import HardEcc

ICE40_EBR = [(256, 16), (512, 8), (1024, 4), (2048, 2)]  # DS1040, iCE40 LP/HX Family Data Sheet, Table 2-4
SPRAM = [(16384, 16)]  # FPGA-DS-02008, iCE40 UltraPlus Family Data Sheet, section 3.1.6
M9K = [  # ID 683431, MAX 10 Embedded Memory User Guide, section 2.4.2
    (8192, 1), (4096, 2), (2048, 4), (1024, 8), (1024, 9), (512, 16), (512, 18), (256, 32), (256, 36),
]  # fmt: skip
M10K = [  # ID 683375, Cyclone V Device Handbook Volume 1, section 2.3.2.1
    (8192, 1), (4096, 2), (2048, 4), (2048, 5), (1024, 8), (1024, 10), (512, 16), (512, 20), (256, 32),
    (256, 40),
]  # fmt: skip
LSRAM = [  # PolarFire Family Fabric User Guide, en-US-8, 5.1.1
    (16384, 1), (8192, 2), (4096, 4), (4096, 5), (2048, 8), (2048, 10), (1024, 16), (1024, 20),
]  # fmt: skip
USRAM = [(64, 12)]  # the same guide
MLAB = [(32, 20)]  # ID 683225, Stratix 10 DX Device Overview, 1.13

TWO_PORTS = {"writes": 0, "reads": 0, "readwrites": 2}
ONE_PORT = {"writes": 0, "reads": 0, "readwrites": 1}


@pytest.mark.parametrize(
    ("listed", "name", "ports", "depth", "width", "blocks"),
    [
        # Comment in a public Verilog file (module tile_memory, 4096 x 6): about 6 blocks.
        (ICE40_EBR, "simple_dual", {}, 4096, 6, 6),
        # University course slides, Day 9, iCE40 Memory Resources: 3 Kbit take one block, 2 Kbit take one.
        (ICE40_EBR, "simple_dual", {}, 192, 16, 1),
        (ICE40_EBR, "simple_dual", {}, 256, 8, 1),
        # FPGA-DS-02008: the deepest build is four blocks, 64K x 16.
        (SPRAM, "single", ONE_PORT, 65536, 16, 4),
        # projectf.io, SPRAM on iCE40 FPGA (2021-09-20): 16K x 32 from two blocks side by side.
        (SPRAM, "single", ONE_PORT, 16384, 32, 2),
        # ID 683240, Embedded Memory User Guide (9/17/2021): 8192 x 36 with the block depth set to 1K.
        (M9K, "single", ONE_PORT, 8192, 36, 32),
        # hackaday.io/project/20751, Memory on Cyclone5 FPGA: 512 x 18 in one block.
        (M10K, "simple_dual", {}, 512, 18, 1),
        # PolarFire Family Fabric User Guide: cascaded deep, cascaded wide.
        (LSRAM, "true_dual", TWO_PORTS, 32768, 1, 2),
        (LSRAM, "true_dual", TWO_PORTS, 16384, 2, 2),
        (USRAM, "simple_dual", {}, 128, 12, 2),
        (USRAM, "simple_dual", {}, 64, 24, 2),
        # ID 683423, Stratix 10 Embedded Memory User Guide, 4.4.5.1 (22.3): 512 bits of 20-bit pieces.
        (MLAB, "simple_dual", {}, 32, 512, 26),
    ],
)
def test_published_count(listed, name, ports, depth, width, blocks):
    placed = on(only(*listed, name=name), depth, width, **ports)
    assert placed.uniform_blocks == blocks
    assert placed.blocks == blocks


@pytest.mark.parametrize(("shape", "blocks"), [((8192, 1), 36), ((1024, 9), 32)])
def test_8192_x_36_with_the_block_depth_set(shape, blocks):
    # ID 683240 (9/17/2021): 36 blocks with the default slice of 8K x 1, 32 when the block depth is set to 1K.
    assert on(only(shape, name="single"), 8192, 36, **ONE_PORT).blocks == blocks


def test_three_memories_are_rounded_up_each_for_itself():
    # The course slides: 3, 5 and 2 Kbit cost 4 blocks, not 10/4 rounded up.
    ebr = only(*ICE40_EBR)
    assert sum(on(ebr, depth, 16).blocks for depth in (192, 320, 128)) == 4


@pytest.mark.parametrize(("width", "blocks"), [(512, 16), (4096, 128)])
def test_hardened_ecc_pieces_of_512_x_32(width, blocks):
    # ID 683423, 4.4.5.1 (22.3): storage with hard ECC is built from pieces 512 deep and 32 data bits wide;
    # the printed greatest width is 4,096. The number of check bits beside them is not printed.
    ecc = HardEcc("simple_dual", shapes((512, 32)), data=32, check=None)
    m20k = tier("m20k", mode("simple_dual", (512, 40), (1024, 20)), block_bits=20480, ecc=(ecc,))
    placed = on(m20k, 512, width, on_device=device(m20k), ecc="added")
    assert (placed.blocks, placed.uniform_blocks, placed.hard_ecc) == (blocks, blocks, True)
    assert placed.fill is None and any("check bits" in reason for reason in placed.because)


def test_true_dual_port_of_32_and_8_bits():
    # Article 000076339 (03/16/2023): a 32-bit and an 8-bit port take two M9K, each 16 beside 4 bits.
    m9k = tier(
        "m9k",
        mode("true_dual", *M9K[:7], width_groups=((1, 2, 4, 8, 16), (9, 18)), max_ratio=16),
        unequal_port_widths=True,
    )
    wide = on(m9k, 512, 32, on_device=device(m9k), write_width=32, read_width=8, **TWO_PORTS)
    assert (wide.fits, wide.blocks, wide.uniform_blocks) == (True, 2, 2)
    assert {cut.shape for cut in wide.cuts} == {(512, 16)}
    narrow = on(m9k, 2048, 8, on_device=device(m9k), write_width=32, read_width=8, **TWO_PORTS)
    assert narrow.blocks == 2
    assert {cut.shape for cut in narrow.cuts} == {(2048, 4)}
