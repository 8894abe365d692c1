"""`extend`: tables merge key by key, tiers by name, other lists are replaced (design, section 3)."""

from __future__ import annotations

from pathlib import Path

import pytest

from memlint.device.facts import Column, Tier
from memlint.device.origins import sources_of
from memlint.device.profile import ProfileError, load_profile

BASE = """\
[device]
name = "base"
title = "the base"
target_mhz = 100
[[source]]
id = "sheet"
title = "the sheet of the base"
facts = ["*"]
[[tier]]
name = "block"
role = "block"
block_bits = 24576
blocks = 10
read_latency = 1
[tier.modes.single]
shapes = [[512, 48], [1024, 24]]
enables = [[48, 12]]
[[tier]]
name = "bulk"
role = "bulk"
block_bits = 327680
blocks = 32
[[tier.columns]]
blocks = 16
count = 2
[[member]]
name = "big"
blocks = { block = 20 }
"""


def write(folder: Path, **texts: str) -> None:
    for name, text in texts.items():
        (folder / f"{name}.toml").write_text(text)


def tier(folder: Path, profile: str, name: str) -> Tier:
    found = load_profile(profile, folder).tier(name)
    assert found is not None
    return found


def test_tables_merge_key_by_key(tmp_path: Path) -> None:
    write(tmp_path, base=BASE, own='extend = "base.toml"\n[device]\nname = "own"\n')
    device = load_profile("own.toml", tmp_path)
    assert (device.name, device.title, device.target_mhz) == ("own", "the base", 100.0)


def test_tiers_merge_by_name_and_keep_their_place(tmp_path: Path) -> None:
    added = '[[tier]]\nname = "new"\nrole = "fabric"\n'
    own = 'extend = "base.toml"\n[[tier]]\nname = "block"\nblocks = 12\n' + added
    write(tmp_path, base=BASE, own=own)
    device = load_profile("own.toml", tmp_path)
    assert [tier.name for tier in device.tiers] == ["block", "bulk", "new"]
    block = tier(tmp_path, "own.toml", "block")
    assert (block.blocks, block.block_bits, block.read_latency) == (12, 24576, 1)


def test_a_mode_merges_key_by_key_and_its_shapes_are_replaced(tmp_path: Path) -> None:
    own = (
        'extend = "base.toml"\n[[tier]]\nname = "block"\n[tier.modes.single]\nshapes = [[256, 48]]\n'
        "[tier.modes.rom]\nshapes = [[512, 48]]\n"
    )
    write(tmp_path, base=BASE, own=own)
    single, rom = tier(tmp_path, "own.toml", "block").modes
    assert [(shape.depth, shape.width) for shape in single.shapes] == [(256, 48)]
    assert single.enables == ((48, 12),)
    assert rom.name == "rom"


def test_columns_and_members_are_replaced(tmp_path: Path) -> None:
    own = (
        'extend = "base.toml"\n[[tier]]\nname = "bulk"\nblocks = 8\n[[tier.columns]]\nblocks = 8\ncount = 1\n'
        '[[member]]\nname = "small"\n'
    )
    write(tmp_path, base=BASE, own=own)
    assert tier(tmp_path, "own.toml", "bulk").columns == (Column(blocks=8, count=1),)
    assert load_profile("own.toml", tmp_path).members == ("small",)


def test_a_built_in_profile_can_be_extended_and_extend_may_stand_under_device(tmp_path: Path) -> None:
    for text in (
        'extend = "sorter-m"\n[device]\nname = "rack"\n',
        '[device]\nname = "rack"\nextend = "sorter-m"\n',
    ):
        write(tmp_path, rack=text)
        device = load_profile("rack.toml", tmp_path)
        assert (device.name, device.target_mhz) == ("rack", 200.0)
        assert [tier.name for tier in device.tiers] == ["fabric", "block", "bulk", "external"]


def test_a_member_can_be_extended(tmp_path: Path) -> None:
    write(tmp_path, base=BASE, own='extend = "base.toml/big"\n[device]\nname = "own"\n')
    assert tier(tmp_path, "own.toml", "block").blocks == 20
    assert load_profile("own.toml", tmp_path).members == ()


def test_a_member_of_a_file_of_ones_own(tmp_path: Path) -> None:
    write(tmp_path, base=BASE)
    device = load_profile("base.toml/big", tmp_path)
    assert (device.name, device.family) == ("base/big", "base")
    assert tier(tmp_path, "base.toml/big", "block").blocks == 20
    assert tier(tmp_path, "base.toml/big", "bulk").blocks == 32


def test_extended_paths_are_relative_to_the_file_that_names_them(tmp_path: Path) -> None:
    (tmp_path / "boards").mkdir()
    write(tmp_path, base=BASE)
    write(tmp_path / "boards", own='extend = "../base.toml"\n[device]\nname = "own"\n')
    device = load_profile("boards/own.toml", tmp_path)
    assert device.name == "own"
    assert [Path(file).name for file in device.files] == ["own.toml", "base.toml"]
    assert Path(device.file) == (tmp_path / "boards" / "own.toml").resolve()


def test_a_contradiction_is_shown_in_the_file_that_wrote_it_last(tmp_path: Path) -> None:
    write(tmp_path, base=BASE, own='extend = "base.toml"\n\n[[tier]]\nname = "bulk"\nblocks = 30\n')
    with pytest.raises(
        ProfileError, match=r"^base\.toml:23: tier\.bulk\.columns: The columns hold 32 blocks"
    ):
        load_profile("own.toml", tmp_path)
    write(
        tmp_path,
        own='extend = "base.toml"\n[[tier]]\nname = "block"\n[tier.modes.single]\nshapes = [[1024, 48]]\n',
    )
    with pytest.raises(
        ProfileError, match=r"^own\.toml:5: tier\.block\.modes\.single\.shapes\[0\]: 1024 x 48 is"
    ):
        load_profile("own.toml", tmp_path)


def test_a_mistake_in_the_base_is_shown_in_the_base(tmp_path: Path) -> None:
    (tmp_path / "boards").mkdir()
    write(tmp_path / "boards", base=BASE.replace("blocks = 10", "blocks = -10"), own='extend = "base.toml"\n')
    with pytest.raises(ProfileError, match=r"^boards/base\.toml:13: tier\.block\.blocks: -10 is too small"):
        load_profile("boards/own.toml", tmp_path)


def test_an_unknown_base_is_shown_at_the_extend(tmp_path: Path) -> None:
    write(tmp_path, own='# note\nextend = "sorter-x"\n')
    with pytest.raises(ProfileError, match=r'^own\.toml:2: extend: There is no device profile "sorter-x"'):
        load_profile("own.toml", tmp_path)
    write(tmp_path, own='[device]\nextend = "gone.toml"\n')
    with pytest.raises(
        ProfileError, match=r"^own\.toml:2: device\.extend: The device profile gone\.toml cannot"
    ):
        load_profile("own.toml", tmp_path)


def test_profiles_that_extend_each_other_are_refused(tmp_path: Path) -> None:
    write(tmp_path, one='extend = "two.toml"\n', two='extend = "one.toml"\n')
    with pytest.raises(
        ProfileError, match=r"^two\.toml:1: extend: one\.toml extends itself, by way of this\."
    ):
        load_profile("one.toml", tmp_path)
    write(tmp_path, one='extend = "one.toml"\n')
    with pytest.raises(ProfileError, match=r"^one\.toml:1: extend: one\.toml extends itself"):
        load_profile("one.toml", tmp_path)


def test_extend_must_be_a_text(tmp_path: Path) -> None:
    write(tmp_path, own="extend = 5\n")
    with pytest.raises(ProfileError, match=r"^own\.toml:1: extend: 5 is not a text in quotes"):
        load_profile("own.toml", tmp_path)


def test_what_a_file_changes_without_naming_a_source_is_not_credited_to_the_base(tmp_path: Path) -> None:
    write(tmp_path, base=BASE, own='extend = "base.toml"\n[[tier]]\nname = "block"\nblocks = 12\n')
    device = load_profile("own.toml", tmp_path)
    assert sources_of(device, "tier.block.blocks") == ()
    assert [source.id for source in sources_of(device, "tier.block.block_bits")] == ["sheet"]


def test_sources_of_ones_own_replace_the_base_s(tmp_path: Path) -> None:
    own = 'extend = "base.toml"\n[[source]]\nid = "bench"\ntitle = "measured"\nfacts = ["tier.block.*"]\n'
    write(tmp_path, base=BASE, own=own)
    device = load_profile("own.toml", tmp_path)
    assert [source.id for source in device.sources] == ["bench"]
    assert [source.id for source in sources_of(device, "tier.block.blocks")] == ["bench"]
    assert sources_of(device, "tier.bulk.blocks") == ()


def test_an_unknown_fact_that_an_extension_states_is_known_again(tmp_path: Path) -> None:
    base = BASE.replace("read_latency = 1\n", 'read_latency = 1\nunknown = ["ecc", "chain"]\n')
    own = 'extend = "base.toml"\n[[tier]]\nname = "block"\n[tier.chain]\nlongest = 4\n'
    write(tmp_path, base=base, own=own)
    assert tier(tmp_path, "base.toml", "block").unknown == ("ecc", "chain")
    assert tier(tmp_path, "own.toml", "block").unknown == ("ecc",)
