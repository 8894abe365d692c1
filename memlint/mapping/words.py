"""The word of a memory: its bits, its write lanes, and how far a block word reaches into it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import TypeVar

from memlint.mapping.cover import cover, cover_counts
from memlint.mapping.runs import Piece

Choice = TypeVar("Choice")


@dataclass(frozen=True, slots=True)
class Word:
    """`bits` of a word; `lanes` are its separately writable parts, lowest first, or empty."""

    bits: int
    lanes: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Strip:
    """The bits [first_bit, first_bit + bits) of a word, given to one choice."""

    first_bit: int
    bits: int


def reach(word: Word, ends: Sequence[int], piece: Piece, first: int) -> int:
    """The bit up to which one block word of this shape can hold the word from bit `first`.

    Within one lane it holds what its width says. Over several lanes each part takes whole granules of
    write enables: parts p1 .. pk fit a width v with granule g when sum ceil(p/g) * g <= v.
    """
    if not word.lanes:
        return min(word.bits, first + piece.width)
    lane = bisect_right(ends, first)
    furthest = min(ends[lane], first + piece.width)
    for granule in piece.granules:
        slots, at = piece.width // granule, first
        for end in ends[lane:]:
            taken = -(-(end - at) // granule)
            if taken > slots:
                at += slots * granule
                break
            slots -= taken
            at = end
        furthest = max(furthest, at)
    return furthest


def lane_ends(word: Word) -> list[int]:
    """The bit after each lane."""
    return list(accumulate(word.lanes))


def stacks_needed(word: Word, piece: Piece) -> int:
    """How many blocks of one shape stand side by side to hold the word."""
    if not word.lanes:
        return -(-word.bits // piece.width)
    ends, count, at = lane_ends(word), 0, 0
    while at < word.bits:
        at = reach(word, ends, piece, at)
        count += 1
    return count


def least_weight(
    word: Word,
    choices: Sequence[Choice],
    pieces_of: Callable[[Choice], Iterable[Piece]],
    weight_of: Callable[[Choice], int],
) -> int:
    """The total weight of `cheapest`, without the strips."""
    if word.lanes:
        return cheapest(word, choices, pieces_of, weight_of)[0]
    return cover(word.bits, [(_narrowest(pieces_of(choice)), weight_of(choice)) for choice in choices])


def cheapest(
    word: Word,
    choices: Sequence[Choice],
    pieces_of: Callable[[Choice], Iterable[Piece]],
    weight_of: Callable[[Choice], int],
) -> tuple[int, list[tuple[Choice, Strip]]]:
    """Cut the word into strips, each given to one choice, at the least total weight (exact).

    A strip may be as wide as the narrowest reach among its choice's pieces. Of choices of equal weight
    and reach the earlier is taken. `choices` must not be empty.
    """
    if not word.lanes and len(choices) == 1:
        return _only(word.bits, choices[0], pieces_of, weight_of)
    if not word.lanes:
        return _plain(word.bits, choices, pieces_of, weight_of)
    ends = lane_ends(word)
    best: dict[int, tuple[int, int, Choice | None]] = {0: (0, 0, None)}
    for at in range(word.bits):
        if at not in best:
            continue
        spent = best[at][0]
        for choice in choices:
            to = min(reach(word, ends, piece, at) for piece in pieces_of(choice))
            total = spent + weight_of(choice)
            if to not in best or total < best[to][0]:
                best[to] = (total, at, choice)
    strips: list[tuple[Choice, Strip]] = []
    at = word.bits
    while at > 0:
        _, first, taken = best[at]
        assert taken is not None
        strips.append((taken, Strip(first, at - first)))
        at = first
    return best[word.bits][0], strips[::-1]


def _only(
    bits: int,
    choice: Choice,
    pieces_of: Callable[[Choice], Iterable[Piece]],
    weight_of: Callable[[Choice], int],
) -> tuple[int, list[tuple[Choice, Strip]]]:
    width = _narrowest(pieces_of(choice))
    strips = [(choice, Strip(at, min(width, bits - at))) for at in range(0, bits, width)]
    return len(strips) * weight_of(choice), strips


def _plain(
    bits: int,
    choices: Sequence[Choice],
    pieces_of: Callable[[Choice], Iterable[Piece]],
    weight_of: Callable[[Choice], int],
) -> tuple[int, list[tuple[Choice, Strip]]]:
    by_width: dict[int, tuple[int, Choice]] = {}
    for choice in choices:
        width, weight = _narrowest(pieces_of(choice)), weight_of(choice)
        if width not in by_width or weight < by_width[width][0]:
            by_width[width] = (weight, choice)
    total, counts = cover_counts(bits, [(width, weight) for width, (weight, _) in by_width.items()])
    strips: list[tuple[Choice, Strip]] = []
    at = 0
    for width in sorted(counts):
        for _ in range(counts[width]):
            held = min(width, bits - at)
            strips.append((by_width[width][1], Strip(at, held)))
            at += held
    return total, strips


def _narrowest(pieces: Iterable[Piece]) -> int:
    return min([piece.width for piece in pieces])
