"""From the text of a profile to the facts the rest of memlint reads."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from memlint.device.facts import (
    REGISTERS,
    BlockShape,
    Chain,
    Column,
    Device,
    External,
    HardEcc,
    Mode,
    Source,
    Tier,
)
from memlint.device.profile import ProfileError, load_profile

# Every key of the profile format but those of the second text below.
WHOLE = """\
[device]
name = "whole"
title = "all keys"
target_mhz = 200
mux_ways = 4

[[source]]
id = "invented"
title = "invented for the demo"
number = "12"
revision = "b"
where = "page 3"
facts = ["*"]

[[tier]]
name = "bulk"
title = "hardened block"
role = "bulk"
block_bits = 327680
blocks = 96
splits = 1
clocks = "one"
read = "synchronous"
read_latency = 1
output_registers = 2
initial_contents = "none"
hard_fifo = false
unequal_port_widths = true
idle_uw = 40
asleep_uw = 4.5
active_uw_per_mhz = 0.9
unknown = ["enables"]

[tier.modes.rom]
shapes = [[16384, 20]]
reads = 2
[tier.modes.single]
shapes = [[8192, 40], [16384, 40, 2]]
enables = [[40, 10]]
same_address = ["before", "after"]
clocks = "one"
[tier.modes.simple_dual]
shapes = [[8192, 40]]
width_groups = [[1, 2], [10, 20]]
max_ratio = 8

[tier.ecc.simple_dual]
shapes = [[8192, 40]]
data = 33
check = 7
lanes = false
extra_latency = 1

[tier.chain]
longest = 16
register_every = 4
modes = ["single"]
[[tier.columns]]
blocks = 16
count = 6

[[tier]]
name = "external"
role = "external"
[tier.external]
capacity_bits = 8589934592
bandwidth_gbit_s = 25

[[member]]
name = "large"
"""

BARE = """\
[device]
name = "bare"
[[source]]
id = "own"
title = "own"
[[tier]]
name = "block"
role = "block"
"""


def load(folder: Path, text: str) -> Device:
    (folder / "board.toml").write_text(text)
    return load_profile("board.toml", folder)


def test_every_key_becomes_its_fact(tmp_path: Path) -> None:
    device = load(tmp_path, WHOLE)
    assert (device.name, device.title, device.target_mhz, device.mux_ways) == ("whole", "all keys", 200.0, 4)
    assert device.members == ("large",)
    assert device.sources == (Source("invented", "invented for the demo", "12", "b", "page 3", ("*",)),)
    wide = BlockShape(8192, 40)
    assert device.tiers == (
        Tier(
            name="bulk",
            role="bulk",
            title="hardened block",
            block_bits=327680,
            blocks=96,
            splits=1,
            clocks="one",
            read="synchronous",
            read_latency=1,
            output_registers=2,
            initial_contents="none",
            hard_fifo=False,
            unequal_port_widths=True,
            modes=(
                Mode(
                    "single",
                    (wide, BlockShape(16384, 40, Fraction(2))),
                    enables=((40, 10),),
                    same_address=("before", "after"),
                    clocks="one",
                ),
                Mode("simple_dual", (wide,), width_groups=((1, 2), (10, 20)), max_ratio=8),
                Mode("rom", (BlockShape(16384, 20),), reads=2),
            ),
            ecc=(HardEcc("simple_dual", (wide,), 33, 7, False, 1),),
            chain=Chain(16, 4, ("single",)),
            columns=(Column(16, 6),),
            idle_uw=40.0,
            asleep_uw=4.5,
            active_uw_per_mhz=0.9,
            unknown=("enables",),
        ),
        Tier(name="external", role="external", external=External(8589934592, 25.0)),
    )


def test_halves_cost_a_part_of_a_block(tmp_path: Path) -> None:
    text = (
        f"{BARE}splits = 4\n[tier.modes.single]\nshapes = [[1024, 24]]\nhalf_shapes = [[256, 24]]\n"
        'pair = "same memory"\n'
    )
    (mode,) = load(tmp_path, text).tiers[0].modes
    assert mode.half_shapes == (BlockShape(256, 24, Fraction(1, 4)),)
    assert mode.pair == "same memory"


def test_what_is_left_out_is_unknown(tmp_path: Path) -> None:
    device = load(tmp_path, f"{BARE}[tier.modes.true_dual]\n")
    assert (device.title, device.target_mhz, device.mux_ways, device.members) == ("", None, None, ())
    # One part a block and one read port are what the format means by leaving splits and reads out.
    bare = Tier(name="block", role="block", splits=1, modes=(Mode("true_dual", (), reads=1),))
    assert device.tiers == (bare,)
    assert bare.blocks is None and bare.clocks is None and bare.read is None


def test_registers_are_there_without_being_stated(tmp_path: Path) -> None:
    device = load(tmp_path, WHOLE)
    assert device.tier("registers") is REGISTERS
    assert [tier.name for tier in device.on_chip()] == ["bulk", "registers"]


def test_a_cost_is_the_decimal_number_written(tmp_path: Path) -> None:
    device = load(tmp_path, WHOLE.replace("[16384, 40, 2]", "[819, 40, 0.1]"))
    assert device.tiers[0].modes[0].shapes[1].cost == Fraction(1, 10)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("enables = [[40, 10]]", "enables = [[40, 40]]"),  # one enable for the whole word
        ("blocks = 96", "# blocks unknown, so the columns contradict nothing"),
        ('name = "large"', 'name = "large"\nblocks = { bulk = 96 }\ncolumns = { bulk = [[48, 2]] }'),
        ('name = "large"', 'name = "large"\ncolumns = { bulk = [[48, 2]] }'),
    ],
)
def test_what_agrees_is_accepted(tmp_path: Path, old: str, new: str) -> None:
    assert load(tmp_path, WHOLE.replace(old, new)).name == "whole"


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("[[40, 10]]", "[[40, 0]]", r"enables\[0\]: \[40, 0\] is not a pair of whole numbers above 0\."),
        ("[[40, 10]]", "[[40, 10, 1]]", r"enables\[0\]: \[40, 10, 1\] is not a pair"),
        ("[[8192, 40], [", "[[8192.5, 40], [", r"shapes\[0\]: \[8192\.5, 40\] is not a shape\."),
        (
            "[16384, 40, 2]",
            "[16384, 40, 1]",
            r"shapes\[1\]: 16384 x 40 is 655,360 bits, more than block_bits",
        ),
        (
            "[16384, 40, 2]",
            "[16384, 41, 2]",
            r"more than block_bits 327,680 times 2\. Use a shape of at most 655,360",
        ),
        (
            "target_mhz = 200",
            "target_mhz = 0",
            r"device\.target_mhz: 0 is too small\. Write a number above 0\.",
        ),
        (
            "idle_uw = 40",
            "idle_uw = -1",
            r"tier\.bulk\.idle_uw: -1 is too small\. Write a number of at least 0\.",
        ),
        (
            'name = "large"',
            'name = "large"\ncolumns = { bulk = [[48, 3]] }',
            r"The columns hold 144 blocks, but",
        ),
        (
            'name = "large"',
            'name = "large"\nblocks = { bulk = -1 }',
            r"member\.large\.blocks\.bulk: -1 is too small",
        ),
    ],
)
def test_what_disagrees_is_refused(tmp_path: Path, old: str, new: str, message: str) -> None:
    with pytest.raises(ProfileError, match=message):
        load(tmp_path, WHOLE.replace(old, new))
