"""Whether chains fit the columns together."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from memlint.device.facts import Column
from memlint.mapping.columns import arrange


def fits_by_hand(chains, heights):
    """Every assignment of chains to columns, tried out."""
    for chosen in product(range(len(heights)), repeat=len(chains)):
        left = list(heights)
        for chain, column in zip(chains, chosen, strict=True):
            left[column] -= chain
        if min(left) >= 0:
            return True
    return not chains


@settings(max_examples=300, deadline=None)
@given(
    st.lists(st.integers(1, 8), max_size=6),
    st.lists(st.tuples(st.integers(1, 9), st.integers(1, 2)), min_size=1, max_size=2),
    st.integers(0, 6),
)
def test_arrangements_are_proofs(chains, columns, singles):
    listed = [Column(height, count) for height, count in columns]
    heights = [height for height, count in columns for _ in range(count)]
    found = arrange(chains, singles, listed)
    possible = fits_by_hand(chains, heights) and sum(chains) + singles <= sum(heights)
    assert found.fits is possible
    if found.fits:
        assert all(
            sum(held) <= height
            for held, height in zip(found.columns, sorted(heights, reverse=True), strict=True)
        )
        held = sorted(length for column in found.columns for length in column)
        assert held == sorted([*chains, *([1] * singles)])
    else:
        assert found.reason


@pytest.mark.parametrize(
    ("chains", "singles", "columns", "said"),
    [
        ([16] * 7, 0, (16, 6), "112 blocks are needed, the columns hold 96"),
        ([17], 0, (16, 6), "a chain of 17 blocks is longer than the tallest column of 16"),
        ([9] * 7, 0, (16, 6), "7 chains are 9 blocks or longer, the columns have room for 6"),
        ([7, 5, 4, 4], 0, (10, 2), "chains of 7, 5, 4, 4 blocks cannot share"),
    ],
)
def test_reasons(chains, singles, columns, said):
    found = arrange(chains, singles, [Column(*columns)])
    assert found.fits is False
    assert said in found.reason


def test_what_the_tightest_first_way_misses_is_still_found():
    # Tightest first puts 5 and 4 in one column and has a 2 left for gaps of 1; 5 + 3 + 2 and 4 + 4 + 2 fit.
    found = arrange([5, 4, 4, 3, 2, 2], 0, [Column(10, 2)])
    assert found.fits is True
    assert [sum(column) for column in found.columns] == [10, 10]


def test_many_chains_are_arranged_at_once():
    found = arrange([8] * 500, 20, [Column(16, 260)])
    assert found.fits is True
    assert sum(sum(column) for column in found.columns) == 4020
