"""Rules on chains, at either side of each limit."""

from fractions import Fraction

import pytest
from factory import bound, cut, memory, only, placement, refused, view

from memlint.reading.intent.clauses import ReadWithin
from memlint.rules.base import Severity
from memlint.rules.chains.chain_misses_latency import RULE as CHAIN_MISSES_LATENCY
from memlint.rules.chains.chain_over_column import RULE as CHAIN_OVER_COLUMN
from memlint.rules.view import MemoryView
from memlint.text.source import Span


def chained(chain: int | None, split: int | None, ways: int | None = None) -> MemoryView:
    blocks = chain or 1
    here = placement(
        "bulk", blocks, Fraction(1), chain=chain, chains=1, split=split, ways=ways, cuts=(cut(blocks),)
    )
    return view(memory(8192 * blocks, 40), here=here)


def test_chain_over_column_says_the_split_and_how_deep_it_may_be() -> None:
    found = only(CHAIN_OVER_COLUMN.check(chained(32, 2, 2)))
    assert found.severity == Severity.WARNING
    assert found.message == (
        "`line` (262,144 x 40) needs a chain of 32 blocks of `bulk`, but the longest chain is 16 and "
        "the tallest column has 16: each chain is cut in 2, joined by a 2:1 multiplexer in fabric"
    )
    # 16 blocks of 8,192 words are 131,072 words.
    assert found.help[0] == "up to 131,072 words deep it stays in one chain (16 blocks of 8,192 words)"
    assert dict(found.numbers)["split"] == 2


@pytest.mark.parametrize(("chain", "split"), [(16, 1), (None, None), (32, None), (None, 2)])
def test_chain_over_column_is_silent_when_it_fits_or_is_unknown(chain: int | None, split: int | None) -> None:
    assert not list(CHAIN_OVER_COLUMN.check(chained(chain, split)))


def test_chain_over_column_is_silent_beside_an_obstacle() -> None:
    here = refused("bulk", "clocks", "2 clocks", blocks=32, chain=32, split=2)
    assert not list(CHAIN_OVER_COLUMN.check(view(here=here)))


def late(latency: int | None, allowed: int, **more: object) -> MemoryView:
    here = placement("bulk", 16, Fraction(1), chain=16, split=1, read_latency=latency, **more)
    return view(memory(131_072, 40), here=here, intent=bound(ReadWithin(allowed, span=Span("a.sv", 1, 5))))


@pytest.mark.parametrize(
    ("latency", "allowed", "speaks"), [(4, 3, True), (4, 4, False), (None, 0, False), (1, 0, True)]
)
def test_chain_misses_latency_boundaries(latency: int | None, allowed: int, speaks: bool) -> None:
    assert bool(list(CHAIN_MISSES_LATENCY.check(late(latency, allowed)))) == speaks


def test_chain_misses_latency_says_where_the_cycles_go() -> None:
    # A register each 4 of 16 blocks: 16/4 - 1 = 3 registers, and 1 cycle for the block itself.
    found = only(CHAIN_MISSES_LATENCY.check(late(4, 2)))
    assert found.message == (
        "a read of `line` takes 4 cycles in `bulk` (1 for the block and 3 for a chain of 16 blocks), "
        "its intent allows 2"
    )
    assert "`read within 4 cycles`" in found.help[0]
