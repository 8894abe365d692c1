"""Totals are the sums of what `list` shows, on designs of real size."""

from __future__ import annotations

import sys
from fractions import Fraction
from functools import cache
from math import ceil
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parents[1] / "design"))

from real_cores import CORES

from memlint.engine import Engine, check_text, open_project
from memlint.engine.judgement import Judgement
from memlint.engine.settings import Settings
from memlint.engine.totals import instance_totals, root_totals, unit_totals

SORTER = Path(__file__).parents[2] / "fixtures" / "sorter"


DESIGNS = ("sorter", *CORES)


@cache
def judgement_of(design: str) -> Judgement:
    """The demo, or an open-source core from a registry package."""
    if design == "sorter":
        return open_project([str(SORTER)]).judge()
    core = CORES[design]()
    settings = Settings(
        root=str(core.files[0].parent),
        include_dirs=tuple(map(str, core.include_dirs)),
        defines=dict(one.split("=") for one in core.defines),
        top=(core.top,),
        parameters=core.parameters,
    )
    return Engine(settings, files=[str(file) for file in core.files]).judge()


def sorter() -> Judgement:
    return judgement_of("sorter")


@pytest.mark.parametrize("design", DESIGNS)
def test_every_instance_is_the_sum_of_the_memories_in_it(design: str) -> None:
    judged = judgement_of(design)
    assert judged.memories
    places = instance_totals(judged)
    assert places
    for place in places:
        for one in place.tiers:
            taken = Fraction(0)
            for view in judged.memories:
                is_there = view.tier is not None and view.tier.name == one.tier
                if is_there and view.memory.path.startswith(f"{place.path}."):
                    taken += view.placement.blocks or 0
            assert one.blocks == taken, (place.path, one.tier)
            assert one.whole == ceil(taken)


@pytest.mark.parametrize("design", DESIGNS)
def test_every_memory_is_what_its_cuts_take_in_each_bank_and_copy(design: str) -> None:
    counted = 0
    for view in judgement_of(design).memories:
        here = view.placement
        if here is None or here.blocks is None or not here.cuts or here.copies is None:
            continue
        counted += 1
        each = sum((cut.blocks for cut in here.cuts), Fraction(0))
        assert here.blocks == each * view.memory.banks * here.copies, view.memory.path
    # The memories of one core are all in registers.
    assert counted or design == "cv32e40p"


@pytest.mark.parametrize("design", DESIGNS)
def test_the_roots_instances_and_units_agree(design: str) -> None:
    judged = judgement_of(design)
    by_unit = {one.unit: one for one in unit_totals(judged)}
    by_path = {one.path: one for one in instance_totals(judged)}
    for root in judged.roots:
        whole = root_totals(judged, root)
        if not (whole.tiers or whole.outside or whole.missing):
            continue
        assert whole == by_path[root]
        for one in judged.totals:
            mine = [tier for tier in whole.tiers if tier.tier == one.tier]
            assert one.root != root or sum(tier.blocks for tier in mine) == one.blocks
    # What the units declare themselves, each memory in one unit, is everything.
    for tier in {one.tier for one in judged.totals}:
        own = sum(one.blocks for unit in by_unit.values() for one in unit.own if one.tier == tier)
        assert own == sum(one.blocks for one in judged.totals if one.tier == tier)


def test_units_count_their_instances() -> None:
    by_unit = {one.unit: one for one in unit_totals(sorter())}
    # fixtures/sorter/rtl/sorter_top.sv: one camera_channel for each of 2 cameras.
    assert by_unit["camera_channel"].instances == 2
    assert by_unit["camera_channel"].own == ()
    assert by_unit["sorter_top"].instances == 1


PLANNED = """
module belt (input logic clk);
    // @mem plan training; in external; shape 16M x 36; times 2
    logic idle;
    // @mem plan lines; in bulk; shape 8K x 40; times 3
    jets u_jets (.clk(clk));
endmodule
"""


def test_planned_memories_stand_beside_real_ones_and_missing_units_are_named() -> None:
    whole = root_totals(check_text(PLANNED), "belt")
    (bulk,) = whole.tiers
    assert (bulk.tier, bulk.blocks, bulk.planned, bulk.planned_blocks) == ("bulk", 3, 1, 3)
    assert whole.missing == ("jets",)
    (outside,) = whole.outside
    # sorter-m.toml: 2^33 bits, 25.6 Gbit/s. 2 x 2^24 x 36 bits; two ports of 36 bits in 2 banks at 200 MHz.
    assert (outside.bits, outside.capacity_bits) == (2 * 2**24 * 36, 2**33)
    assert outside.bandwidth_gbit_s == 25.6
    assert outside.peak_gbit_s == Fraction("28.8")
