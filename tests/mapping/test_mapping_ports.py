"""Modes and copies for ports, by the rules of the design page, section "Modes and copies"."""

import pytest
from mapping_devices import BLOCK, BULK, FABRIC, SORTER, device, mode, on, tier

from memlint.device.facts import REGISTERS
from memlint.mapping.demand import Demand
from memlint.mapping.place import place

SIMPLE_ONLY = tier("one-write", mode("simple_dual", (1024, 8)))
TWO_READS = tier("two-reads", mode("simple_dual", (1024, 8), reads=2))
DUAL_ONLY = tier("dual", mode("true_dual", (1024, 8)))
SINGLE_ONLY = tier("single", mode("single", (1024, 8)))
ROM_ONLY = tier("rom", mode("rom", (1024, 8), reads=2))


@pytest.mark.parametrize(
    ("where", "writes", "reads", "readwrites", "copies"),
    [
        (SINGLE_ONLY, 1, 0, 0, 1),
        (SINGLE_ONLY, 0, 0, 1, 1),
        (SINGLE_ONLY, 1, 1, 0, None),
        (SIMPLE_ONLY, 1, 1, 0, 1),
        (SIMPLE_ONLY, 1, 3, 0, 3),
        (SIMPLE_ONLY, 0, 1, 1, 2),
        (SIMPLE_ONLY, 0, 2, 0, 2),
        (SIMPLE_ONLY, 2, 1, 0, None),
        (TWO_READS, 1, 3, 0, 2),
        (DUAL_ONLY, 2, 0, 0, 1),
        (DUAL_ONLY, 0, 0, 2, 1),
        (DUAL_ONLY, 1, 0, 1, 1),
        (DUAL_ONLY, 1, 1, 0, 1),
        (DUAL_ONLY, 1, 3, 0, 3),
        (DUAL_ONLY, 0, 3, 0, 2),
        (DUAL_ONLY, 2, 1, 0, None),
        (DUAL_ONLY, 0, 0, 3, None),
        (ROM_ONLY, 0, 3, 0, 2),
        (ROM_ONLY, 1, 1, 0, None),
    ],
)
def test_copies(where, writes, reads, readwrites, copies):
    placed = on(where, 1024, 8, on_device=device(where), writes=writes, reads=reads, readwrites=readwrites)
    if copies is None:
        assert not placed.fits
        assert [one.kind for one in placed.obstacles] == ["ports"]
    else:
        assert (placed.fits, placed.copies, placed.blocks) == (True, copies, copies)


def test_the_least_over_every_mode():
    # 1w 3r: three copies of one write and one read, or three copies of a dual port; 1w 2r on sorter-m: two.
    assert on(BLOCK, 2048, 12, reads=2).blocks == 2
    both = tier("both", mode("simple_dual", (1024, 8)), mode("rom", (1024, 8), reads=4))
    assert on(both, 1024, 8, on_device=device(both), writes=0, reads=4).blocks == 1


def test_banks_and_copies_multiply():
    placed = on(BULK, 8192, 40, banks=3, reads=2)
    assert (placed.copies, placed.blocks, placed.uniform_blocks, placed.lower_bound) == (2, 6, 6, 6)
    assert placed.fill == 1


def test_surplus_ports_are_an_obstacle_with_the_numbers():
    placed = on(BULK, 8192, 40, writes=3, reads=1)
    (obstacle,) = placed.obstacles
    assert obstacle.kind == "ports"
    assert "3w 1r" in obstacle.text and "true_dual" in obstacle.text
    assert placed.blocks == 1  # as if it had two ports


def test_registers_take_any_ports():
    placed = place(Demand(16, 8, writes=5, reads=9, clocks=4, asynchronous=True), REGISTERS, SORTER)
    assert (placed.fits, placed.blocks, placed.read_latency) == (True, 128, 0)


def test_two_clocks_on_a_tier_of_one_clock():
    placed = on(BULK, 65536, 40, clocks=2)
    (obstacle,) = placed.obstacles
    assert (obstacle.kind, placed.fits) == ("clocks", False)
    assert "2 clocks" in obstacle.text and "bulk" in obstacle.text
    assert placed.blocks == 8


def test_a_mode_may_narrow_the_clocks_of_its_tier():
    narrowed = tier("narrow", mode("simple_dual", (64, 8)), mode("true_dual", (64, 8), clocks="one"))
    bench = device(narrowed)
    assert on(narrowed, 64, 8, on_device=bench, clocks=2).fits
    dual = on(narrowed, 64, 8, on_device=bench, writes=0, reads=0, readwrites=2, clocks=2)
    assert [one.kind for one in dual.obstacles] == ["clocks"]
    assert "true_dual" in dual.obstacles[0].text


def test_unknown_clocks_are_said_and_not_held_against_it():
    placed = on(BULK, 8192, 40, clocks=None)
    assert placed.fits
    assert any("how many clocks" in reason for reason in placed.because)
    silent = tier("silent", mode("simple_dual", (64, 8)), clocks=None)
    asked = on(silent, 64, 8, on_device=device(silent), clocks=2)
    assert asked.fits and any("clocks of their own" in reason for reason in asked.because)


def test_every_other_obstacle_is_named():
    placed = on(
        BULK, 8192, 40, asynchronous=True, contents="given", resets_array=True, latch=True, clocks=1
    )  # fmt: skip
    assert {one.kind for one in placed.obstacles} == {"clocks", "read", "contents", "reset"}
    assert any("8,192 words" in one.text for one in placed.obstacles if one.kind == "reset")
    assert placed.blocks == 1


@pytest.mark.parametrize(
    ("has", "wanted", "fits"),
    [("any", "given", True), ("zero", "given", False), ("zero", "zero", True), ("none", "zero", False),
     ("none", "none", True), (None, "given", True)],
)  # fmt: skip
def test_initial_contents(has, wanted, fits):
    bench = tier("bench", mode("simple_dual", (64, 8)), initial_contents=has)
    placed = on(bench, 64, 8, on_device=device(bench), contents=wanted)
    assert placed.fits is fits
    assert any("power-up" in reason for reason in placed.because) is (has is None)


def test_an_asynchronous_read_fits_fabric():
    assert on(FABRIC, 32, 12, asynchronous=True).fits
    assert on(FABRIC, 32, 12, asynchronous=False).fits


def test_more_blocks_than_the_device_has():
    placed = on(BULK, 8192 * 97, 40)
    assert not placed.fits
    assert [one.text for one in placed.obstacles] == ["it takes 97 blocks of bulk; bench has 96"]


def test_shapes_nobody_documented_stay_unknown():
    bare = tier("bare", mode("simple_dual"))
    placed = on(bare, 64, 8, on_device=device(bare))
    assert (placed.fits, placed.blocks) == (True, None)
    assert "no block shapes" in placed.because[0]


@pytest.mark.parametrize(
    ("needs", "said"),
    [({"depth": 0}, "depth must be at least 1"), ({"lanes": (8, 40)}, "do not fit a word of 40 bits")],
)
def test_demands_that_describe_no_memory(needs, said):
    with pytest.raises(ValueError, match=said):
        place(Demand(**{"depth": 8, "width": 40, **needs}), BULK, SORTER)
    with pytest.raises(ValueError, match="prefer"):
        on(BULK, 8, 8, prefer="luck")
