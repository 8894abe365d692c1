"""Built-in profiles: each passes the validation a user's file gets, and agrees with itself."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import memlint.device
from memlint.device.facts import Device
from memlint.device.listing import facts_of
from memlint.device.profile import builtin_names, load_profile

FOLDER = Path(memlint.device.__file__).parent / "profiles"


def everyone() -> list[Device]:
    """Every built-in device: the families and each of their members."""
    families = [load_profile(name) for name in builtin_names()]
    members = [load_profile(f"{family.name}/{member}") for family in families for member in family.members]
    return families + members


def test_the_demo_device_and_the_published_families_are_there() -> None:
    assert builtin_names() == (
        "arria10",
        "cyclone4-max10",
        "cyclone5",
        "ecp5",
        "gw1n-gw2a",
        "ice40",
        "ice40-ultraplus",
        "nexus",
        "polarfire",
        "sorter-m",
        "stratix10",
    )


@pytest.mark.parametrize("name", builtin_names())
def test_a_built_in_passes_the_validation_of_a_user_s_file(name: str) -> None:
    # Loaded by its path it is a user's file; by its name it is taken on trust.
    assert load_profile(f"{name}.toml", FOLDER) == load_profile(name)
    assert load_profile(name).name == name


@pytest.mark.parametrize("device", everyone(), ids=lambda device: device.name)
def test_no_shape_is_bigger_than_its_block(device: Device) -> None:
    for tier in device.tiers:
        if tier.block_bits is None:
            assert tier.role == "external"
            continue
        for shape in [shape for mode in tier.modes for shape in (*mode.shapes, *mode.half_shapes)]:
            assert shape.depth * shape.width <= tier.block_bits * shape.cost
        for ecc in tier.ecc:
            assert all(shape.depth * shape.width <= tier.block_bits for shape in ecc.shapes)
            assert all((ecc.data or 0) + (ecc.check or 0) <= shape.width for shape in ecc.shapes)
        if tier.columns:
            assert sum(column.blocks * column.count for column in tier.columns) == tier.blocks


@pytest.mark.parametrize("device", everyone(), ids=lambda device: device.name)
def test_every_stated_fact_but_the_role_has_a_source(device: Device) -> None:
    # The role groups tiers for the user of memlint; a data sheet does not state it.
    assert [fact.key for fact in facts_of(device) if fact.is_stated and not fact.sources] == [
        f"tier.{tier.name}.role"
        for tier in device.tiers
        if "invented" not in {one.id for one in device.sources}
    ]


def test_the_demo_device_has_a_tier_of_each_role() -> None:
    device = load_profile("sorter-m")
    assert [(tier.name, tier.role) for tier in device.tiers] == [
        ("fabric", "fabric"),
        ("block", "block"),
        ("bulk", "bulk"),
        ("external", "external"),
    ]
    assert all(tier.blocks for tier in device.tiers if tier.role != "external")


def test_the_demo_device_s_larger_member() -> None:
    # The member `sorter-l` as the profile format's own description gives it: 160 blocks in 10 columns of 16.
    bulk = load_profile("sorter-m/sorter-l").tier("bulk")
    assert bulk is not None
    assert bulk.blocks == 160
    assert [(column.blocks, column.count) for column in bulk.columns] == [(16, 10)]


def test_built_ins_and_facts_need_no_pydantic() -> None:
    code = (
        "import sys, memlint.device.facts; assert not {'pydantic', 'tomllib'} & set(sys.modules); "
        "from memlint.device.profile import load_profile; load_profile('sorter-m/sorter-l'); "
        "assert 'pydantic' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
