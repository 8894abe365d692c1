"""Chains in columns: bounds, search, solver and the smallest conflict, each against another way to know."""

import subprocess
import sys
from collections import Counter
from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from mapping_devices import BULK, on, tier
from test_mapping_columns import fits_by_hand

from memlint.device.facts import Chain, Column
from memlint.mapping.columns import arrange, named, smallest_conflict
from memlint.mapping.columns_bounds import beyond_any_arrangement, heaviest
from memlint.mapping.columns_pieces import even_pieces, pieces_of, shorter_chains, with_chains_of
from memlint.mapping.columns_search import pack
from memlint.mapping.columns_solver import is_installed, solve_columns

CHAINS = st.lists(st.integers(2, 9), max_size=7)
HEIGHTS = st.lists(st.integers(2, 11), min_size=1, max_size=3)


@settings(max_examples=200)
@given(CHAINS, HEIGHTS)
def test_bounds_and_search_agree_with_every_assignment_tried(chains, heights):
    possible = fits_by_hand(chains, heights)
    if beyond_any_arrangement(chains, heights):
        assert not possible
    found = pack(sorted(chains, reverse=True), sorted(heights, reverse=True))
    assert found.complete
    assert (found.columns is not None) is possible
    if found.columns is not None:
        assert sorted(one for column in found.columns for one in column) == sorted(chains)
        held = zip(found.columns, sorted(heights, reverse=True), strict=True)
        assert all(sum(column) <= height for column, height in held)


@settings(max_examples=60)
@given(CHAINS, HEIGHTS)
def test_the_smallest_conflict_is_the_smallest_of_all_sets(chains, heights):
    columns = [Column(height, 1) for height in heights]
    found = smallest_conflict(chains, columns)
    smallest = next(
        (
            size
            for size in range(1, len(chains) + 1)
            for some in combinations(chains, size)
            if not fits_by_hand(list(some), heights)
        ),
        0,
    )
    assert len(found) == smallest
    assert not (Counter(found) - Counter(chains))
    assert not found or not fits_by_hand(list(found), heights)


@settings(max_examples=100)
@given(st.dictionaries(st.integers(1, 8), st.integers(0, 9), min_size=1, max_size=4), st.integers(1, 14))
def test_the_heaviest_filling_is_that_of_all_fillings(weights, tallest):
    counts = dict.fromkeys(weights, 2)
    pool = [length for length in weights for _ in range(2)]
    fillings = (some for size in range(len(pool) + 1) for some in combinations(pool, size))
    by_hand = max(sum(weights[one] for one in some) for some in fillings if sum(some) <= tallest)
    assert heaviest(weights, counts, tallest)[tallest] == by_hand


@pytest.mark.skipif(not is_installed(), reason="highspy is not installed: pip install '.[solver]'")
@settings(max_examples=25)
@given(st.lists(st.integers(2, 16), min_size=8, max_size=24), st.integers(4, 9))
def test_the_solver_agrees_where_all_assignments_are_too_many(chains, count):
    heights = [16] * count
    lengths = sorted(chains, reverse=True)
    ours, theirs = pack(lengths, heights), solve_columns(lengths, heights)
    assert ours.complete
    assert theirs.complete
    assert (ours.columns is None) is (theirs.columns is None)


def test_the_solver_answers_where_the_search_gives_up():
    # 10 columns of 16 hold 6 + 5 + 5 each; a search of three steps cannot know.
    chains = [6] * 10 + [5] * 20
    assert pack(chains, [16] * 10, most_tries=3).complete is False
    if is_installed():
        assert solve_columns(chains, [16] * 10).columns is not None


@pytest.mark.skipif(not is_installed(), reason="highspy is not installed: pip install '.[solver]'")
def test_the_solver_prints_nothing_before_a_report():
    # Its banner comes once a process, from C, so only a process of its own shows it.
    ask = "from memlint.mapping.columns_solver import solve_columns as s; s([9, 7, 5, 4, 3], [16, 16])"
    done = subprocess.run([sys.executable, "-c", ask], capture_output=True, check=True, text=True)
    assert (done.stdout, done.stderr) == ("", "")


def test_giving_up_is_no_answer(monkeypatch):
    monkeypatch.setattr("memlint.mapping.columns_solver.is_installed", lambda: False)
    # Tightest first puts 5 and 4 together and fails; the arrangement 5 + 3 + 2, 4 + 4 + 2 needs a search.
    found = arrange([5, 4, 4, 3, 2, 2], 0, [Column(10, 2)], most_tries=1)
    assert found.fits is None
    assert found.reason == "no arrangement was found in 1 tries, and none can be excluded"
    assert smallest_conflict([5, 4, 4, 3, 2, 2], [Column(10, 2)], most_tries=1) == ()


def test_many_chains_are_named_by_how_often_they_come():
    assert named([9, 9, 4]) == "9, 9, 4"
    assert named([9] * 10 + [4] * 5) == "10 x 9, 5 x 4"


def test_pieces_of_a_chain_that_must_be_split():
    # 20 blocks of 8,192 words one above the other, at most 16 in a chain: two pieces of 10.
    placed = on(BULK, 20 * 8192, 40)
    assert (placed.chain, placed.split) == (20, 2)
    assert pieces_of(placed, BULK, 1).chains == (10, 10)
    # Two banks of 80 bits: 2 x 2 chains of 3 blocks.
    placed = on(BULK, 3 * 8192, 80, banks=2)
    assert pieces_of(placed, BULK, 2).chains == (3, 3, 3, 3)
    assert pieces_of(placed, BULK, 2).singles == 0


def test_single_blocks_are_no_chains_and_halves_stay_exact():
    assert pieces_of(on(BULK, 8192, 120), BULK, 1).singles == 3
    unchained = tier("block", *BULK.modes, block_bits=BULK.block_bits, blocks=96, columns=BULK.columns)
    assert pieces_of(on(unchained, 3 * 8192, 40), unchained, 1) == pieces_of(
        on(unchained, 8192, 120), unchained, 1
    )
    unknown = tier("block", *BULK.modes, unknown=("chain",), blocks=96)
    assert pieces_of(on(unknown, 3 * 8192, 40), unknown, 1) is None


@given(st.integers(1, 60), st.integers(1, 60))
def test_pieces_add_up_and_differ_by_one_at_most(blocks, pieces):
    cut = even_pieces(blocks, min(blocks, pieces))
    assert sum(cut) == blocks
    assert max(cut) - min(cut) <= 1
    assert cut == sorted(cut, reverse=True)


def test_a_chain_can_be_cut_down_to_single_blocks():
    assert shorter_chains(9) == (5, 3, 2, 1)
    assert shorter_chains(1) == ()
    shorter = with_chains_of(BULK, 5)
    assert shorter.chain == Chain(5, 4, ("single", "simple_dual"))
    placed = on(shorter, 9 * 8192, 40)
    # Two pieces of 5 and 4 blocks: one register after four blocks, a 2:1 multiplexer without one.
    assert (placed.split, placed.ways, placed.read_latency) == (2, 2, 2)
    assert pieces_of(placed, shorter, 1).chains == (5, 4)
    assert placed.blocks == Fraction(9)


@pytest.mark.parametrize(("chains", "height"), [([10, 6, 6, 3, 3, 2], 10), ([14, 9, 7, 6, 4, 2], 14)])
def test_what_no_weights_prove_is_tried_to_the_end(chains, height, monkeypatch):
    monkeypatch.setattr("memlint.mapping.columns_solver.is_installed", lambda: False)
    assert not fits_by_hand(chains, [height] * 3)
    assert not beyond_any_arrangement(chains, [height] * 3)
    found = arrange(chains, 0, [Column(height, 3)])
    assert found.fits is False
    assert found.reason == f"chains of {named(chains)} blocks cannot share these columns"
    # Given up on the way, it is not known.
    for tries in range(1, 9):
        assert arrange(chains, 0, [Column(height, 3)], most_tries=tries).fits is None
