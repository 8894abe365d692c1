"""Every fact has its line, in the order of the profile; unknown and absent stay apart."""

from __future__ import annotations

from pathlib import Path

from memlint.device.listing import Fact, facts_of
from memlint.device.profile import load_profile

TEXT = """\
[device]
name = "board"
[[source]]
id = "sheet"
title = "sheet"
facts = ["tier.block.modes.*", "tier.block.chain.*"]
[[tier]]
name = "block"
role = "block"
splits = 2
unequal_port_widths = true
unknown = ["ecc"]
[tier.modes.single]
shapes = [[1024, 24], [2048, 24, 2]]
same_address = []
[tier.modes.true_dual]
half_shapes = [[512, 24]]
clocks = "one"
[tier.modes.rom]
shapes = [[1024, 24]]
[tier.chain]
longest = 4
[[tier]]
name = "external"
role = "external"
"""


def facts(folder: Path) -> dict[str, Fact]:
    (folder / "board.toml").write_text(TEXT)
    return {fact.key: fact for fact in facts_of(load_profile("board.toml", folder))}


def test_the_keys_are_those_a_profile_may_state_here(tmp_path: Path) -> None:
    prefix = "tier.block."
    keys = [key.removeprefix(prefix) for key in facts(tmp_path) if key.startswith(prefix)]
    assert keys == [
        *["role", "block_bits", "blocks", "splits", "clocks", "read", "read_latency", "output_registers"],
        *["initial_contents", "hard_fifo", "unequal_port_widths"],
        *[
            "modes.single.shapes",
            "modes.single.half_shapes",
            "modes.single.enables",
            "modes.single.same_address",
        ],
        *["modes.true_dual.shapes", "modes.true_dual.half_shapes", "modes.true_dual.pair"],
        *["modes.true_dual.clocks", "modes.true_dual.enables", "modes.true_dual.same_address"],
        *["modes.true_dual.width_groups", "modes.true_dual.max_ratio"],
        *["modes.rom.shapes", "modes.rom.half_shapes", "modes.rom.reads"],
        *["ecc", "chain.longest", "chain.register_every", "chain.modes", "columns"],
        *["idle_uw", "asleep_uw", "active_uw_per_mhz"],
    ]


def test_values_unknown_absent_and_stated(tmp_path: Path) -> None:
    told = facts(tmp_path)
    assert told["tier.block.blocks"].value is None
    assert told["tier.block.ecc"].value is None  # listed as unknown
    assert told["tier.block.modes.single.enables"].value == "none"  # left out, which means none
    assert told["tier.block.modes.single.same_address"].value == "none"  # stated as an empty list
    assert told["tier.block.modes.single.shapes"].value == [[1024, 24], [2048, 24, 2.0]]
    assert told["tier.block.modes.true_dual.shapes"].value is None
    assert told["tier.block.modes.true_dual.half_shapes"].value == [[512, 24]]
    assert told["tier.block.chain.modes"].value == "all"
    assert told["tier.external.external.capacity_bits"].value is None


def test_a_source_documents_only_what_is_stated(tmp_path: Path) -> None:
    told = facts(tmp_path)
    named = {key for key, fact in told.items() if fact.sources}
    assert named == {
        "tier.block.modes.single.shapes",
        "tier.block.modes.single.same_address",
        "tier.block.modes.true_dual.half_shapes",
        "tier.block.modes.true_dual.clocks",
        "tier.block.modes.rom.shapes",
        "tier.block.chain.longest",
    }
    assert told["tier.block.modes.rom.reads"].value == 1
    assert not told["tier.block.modes.rom.reads"].is_stated
