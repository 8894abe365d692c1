"""What one memory asks of a tier, and what a tier answers."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Demand:
    """One memory's needs: per bank, after port sharing.

    `clocks` counts distinct clocks; None is unknown. `asynchronous` None is unknown.
    `lanes` are separately writable parts of the word in bits, lowest first; empty = the whole word.
    `ecc`: `none`, `added` (check bits to be added) or `in word` (already counted in `width`).
    `contents`: `none`, `zero` or `given` data at power-up.
    `write_width`/`read_width` state unequal port widths, else None.
    `resets_array` is a reset that clears every word; only `registers` can.
    """

    depth: int
    width: int
    banks: int = 1
    writes: int = 1
    reads: int = 1
    readwrites: int = 0
    clocks: int | None = 1
    asynchronous: bool | None = False
    lanes: tuple[int, ...] = ()
    ecc: str = "none"
    contents: str = "none"
    write_width: int | None = None
    read_width: int | None = None
    resets_array: bool = False
    latch: bool = False


@dataclass(frozen=True, slots=True)
class Cut:
    """A rectangle of the array and the blocks that hold it: `blocks` of `shape`, one above the other."""

    first_word: int
    words: int
    first_bit: int
    bits: int
    shape: tuple[int, int]
    blocks: Fraction


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Why a tier does not take a memory: `kind` is one of clocks, ports, read, contents, lanes, widths,
    reset, ecc, shape; `text` is a sentence with the numbers."""

    kind: str
    text: str


@dataclass(frozen=True, slots=True)
class Placement:
    """One memory on one tier.

    `blocks` etc. cover all banks and copies, exact in steps of 1/splits; None is unknown, with the
    reason in `because`. `fits` is False when an obstacle stands; counts are then those of the nearest
    mode that could be reckoned (as if the obstacle were mended), or None.
    `chain` is the longest run of blocks one above the other (where the tier has a hardened chain),
    `chains` how many runs of two or more, `split` pieces each must be cut in, `ways` the M of M:1.
    """

    tier: str
    fits: bool
    obstacles: tuple[Obstacle, ...] = ()
    because: tuple[str, ...] = ()
    mode: str | None = None
    copies: int | None = None
    blocks: Fraction | None = None
    uniform_blocks: Fraction | None = None
    lower_bound: Fraction | None = None
    fill: Fraction | None = None
    cuts: tuple[Cut, ...] = ()
    uniform_shape: tuple[int, int] | None = None
    chain: int | None = None
    chains: int | None = None
    split: int | None = None
    ways: int | None = None
    read_latency: int | None = None
    output_registers: int | None = None
    check_bits: int = 0
    hard_ecc: bool = False
    word: int | None = None
    share: Fraction | None = None
    power: tuple[tuple[str, float], ...] = field(default=())
