"""The small integer programme under every count, against a table over every length."""

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from memlint.mapping import cover as covering
from memlint.mapping.residues import cover_by_residue
from memlint.mapping.steps import WordSteps

item_lists = st.lists(st.tuples(st.integers(1, 60), st.integers(1, 40)), min_size=1, max_size=8)


def by_table(need, items):
    table = [0]
    for length in range(1, need + 1):
        table.append(min(cost + table[max(0, length - size)] for size, cost in items))
    return table


@settings(max_examples=500, deadline=None)
@given(st.integers(0, 600), item_lists)
def test_least_cost_and_how_it_is_had(need, items):
    cost, counts = covering.cover_counts(need, items)
    assert cost == covering.cover(need, items) == by_table(need, items)[need]
    cheapest = {size: min(c for s, c in items if s == size) for size, _ in items}
    assert sum(size * count for size, count in counts.items()) >= need
    assert sum(cheapest[size] * count for size, count in counts.items()) == cost


@pytest.mark.parametrize("steps", [1, 2, 7])
def test_a_long_search_ends_alike(monkeypatch, steps):
    monkeypatch.setattr(covering, "MOST_STEPS", steps)
    monkeypatch.setattr(covering, "LONGER", 10**9)
    test_least_cost_and_how_it_is_had()


def test_weights_beyond_what_a_float_tells_apart():
    big = 10**30
    # Two of 5 and one of 10 differ by one in thirty digits.
    assert covering.cover_counts(10, [(10, 2 * big), (5, big + 1)]) == (2 * big, {10: 1})
    assert covering.cover_counts(10, [(10, 2 * big + 3), (5, big + 1)]) == (2 * big + 2, {5: 2})


@settings(max_examples=300, deadline=None)
@given(st.integers(1, 3000), item_lists)
@example(2045, [(16, 5), (43, 12), (52, 13)])
def test_remainders_settle_great_lengths(need, items):
    best_first = sorted(items, key=lambda item: item[1] / item[0])
    found = cover_by_residue(need, best_first)
    if found is None:
        assert need < 60 * 60  # the others together never need to cover more
        return
    cost, counts = found
    assert cost == by_table(need, items)[need]
    assert sum(count * size for count, (size, _) in zip(counts, best_first, strict=True)) >= need


@settings(max_examples=200, deadline=None)
@given(item_lists)
def test_the_table_of_widths_repeats_truly(items):
    steps = WordSteps(items)
    table = by_table(1500, items)
    assert [steps.cost(bits) for bits in range(1501)] == table
