"""One way to lay a memory out in blocks: its runs, and what they mean for reading."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from memlint.mapping.chains import ChainLimits
from memlint.mapping.demand import Cut
from memlint.mapping.runs import Piece


@dataclass(frozen=True, slots=True)
class Run:
    """`blocks` of one shape, one above the other, that hold a rectangle of the array."""

    first_word: int
    words: int
    first_bit: int
    bits: int
    piece: Piece
    blocks: int


@dataclass(frozen=True, slots=True)
class Layout:
    """The runs of one bank in one copy.

    `cost` is in the table's units. `ways` is the M of the M:1 multiplexer behind it, `chains` the runs
    of two or more on hardened wires, `tallest` the most blocks one above the other in a run, `height`
    the most over a bit, `awake` the cost units that must be awake to read any one word.
    """

    cost: int
    uniform: bool
    runs: tuple[Run, ...]
    ways: int
    chains: int
    tallest: int
    height: int
    awake: int

    def key(self) -> tuple[int, bool, int, int, int, int, int]:
        """Order among layouts, best first: blocks, uniform before mixed, multiplexer, chains, the longest
        chain, blocks awake per access, greater depth."""
        depth = self.runs[0].piece.depth
        return self.cost, not self.uniform, self.ways, self.chains, self.tallest, self.awake, -depth


def layout(runs: Iterable[Run], limits: ChainLimits) -> Layout:
    """Measure a set of runs that tile one bank."""
    listed = tuple(runs)
    shapes = {(run.piece.depth, run.piece.width, run.piece.cost) for run in listed}
    ways, height = _over_bits(listed, limits)
    return Layout(
        cost=sum(run.blocks * run.piece.cost for run in listed),
        uniform=len(shapes) == 1,
        runs=listed,
        ways=ways,
        chains=sum(run.blocks > 1 for run in listed) if limits.hardened else 0,
        tallest=max(run.blocks for run in listed),
        height=height,
        awake=_over_words(listed),
    )


def _over_bits(runs: tuple[Run, ...], limits: ChainLimits) -> tuple[int, int]:
    """The most multiplexer inputs, and the most blocks, one above the other over any bit."""
    steps: dict[int, tuple[int, int]] = {}
    for run in runs:
        pieces = limits.pieces(run.blocks)
        for bit, sign in ((run.first_bit, 1), (run.first_bit + run.bits, -1)):
            inputs, blocks = steps.get(bit, (0, 0))
            steps[bit] = inputs + sign * pieces, blocks + sign * run.blocks
    inputs = blocks = most_inputs = most_blocks = 0
    for bit in sorted(steps):
        inputs, blocks = inputs + steps[bit][0], blocks + steps[bit][1]
        most_inputs, most_blocks = max(most_inputs, inputs), max(most_blocks, blocks)
    return most_inputs, most_blocks


def _over_words(runs: tuple[Run, ...]) -> int:
    """The most cost units side by side at any word."""
    steps: dict[int, int] = {}
    for run in runs:
        after = run.first_word + run.words
        steps[run.first_word] = steps.get(run.first_word, 0) + run.piece.cost
        steps[after] = steps.get(after, 0) - run.piece.cost
    now = most = 0
    for word in sorted(steps):
        now += steps[word]
        most = max(most, now)
    return most


def cuts_of(chosen: Layout, unit: int) -> tuple[Cut, ...]:
    """The runs as cuts, with their blocks as fractions of 1/`unit`."""
    return tuple(
        Cut(
            run.first_word, run.words, run.first_bit, run.bits,
            (run.piece.depth, run.piece.width), Fraction(run.blocks * run.piece.cost, unit),
        )
        for run in chosen.runs
    )  # fmt: skip
