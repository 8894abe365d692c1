"""The word of a memory: its bits, its write lanes, and how to cut it into strips at least cost."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate

from memlint.mapping.cover import cover, cover_counts
from memlint.mapping.filled import Filled
from memlint.mapping.runs import Piece


@dataclass(frozen=True, slots=True)
class Word:
    """`bits` of a word; `lanes` are its separately writable parts, lowest first, or empty."""

    bits: int
    lanes: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Strip:
    """The bits [first_bit, first_bit + bits) of a word."""

    first_bit: int
    bits: int


@lru_cache(maxsize=64)
def reaches(word: Word, piece: Piece) -> tuple[int, ...]:
    """For each bit of a word with lanes, the bit up to which one block word of this shape can hold the
    word from there.

    Within one lane it holds what its width says. Over several lanes each part takes whole granules of
    write enables: parts p1 .. pk fit a width v with granule g when sum ceil(p/g) * g <= v.
    """
    ends = list(accumulate(word.lanes))
    return tuple(_reach(ends, piece, first) for first in range(word.bits))


def _reach(ends: Sequence[int], piece: Piece, first: int) -> int:
    lane = bisect_right(ends, first)
    furthest = min(ends[lane], first + piece.width)
    for granule in piece.granules:
        slots, at = piece.width // granule, first
        for number in range(lane, len(ends)):
            taken = -(-(ends[number] - at) // granule)
            if taken > slots:
                at += slots * granule
                break
            slots -= taken
            at = ends[number]
        furthest = max(furthest, at)
    return furthest


def stacks_needed(word: Word, piece: Piece) -> int:
    """How many blocks of one shape stand side by side to hold the word."""
    if not word.lanes:
        return -(-word.bits // piece.width)
    far, count, at = reaches(word, piece), 0, 0
    while at < word.bits:
        at = far[at]
        count += 1
    return count


def least_weight(word: Word, choices: Sequence[Filled], weights: Sequence[int]) -> int:
    """The total weight of `cheapest`, without the strips."""
    if word.lanes:
        return _laned(word, choices, weights)[0]
    return cover(word.bits, [(one.width, weight) for one, weight in zip(choices, weights, strict=True)])


def cheapest(word: Word, choices: Sequence[Filled], weights: Sequence[int]) -> list[tuple[Filled, Strip]]:
    """Cut the word into neighbouring strips, each filled one of the given ways, at the least total weight.

    Exact. A strip may be as wide as the narrowest of its shapes, or reach as far as its lanes let every
    one of them. Of choices of equal weight and width the earlier is taken.
    """
    if word.lanes:
        return _laned(word, choices, weights)[1]
    if len(choices) == 1:
        counts = {choices[0].width: -(-word.bits // choices[0].width)}
    else:
        listed = [(one.width, weight) for one, weight in zip(choices, weights, strict=True)]
        _, counts = cover_counts(word.bits, listed)
    by_width: dict[int, tuple[int, Filled]] = {}
    for one, weight in zip(choices, weights, strict=True):
        if one.width in counts and (one.width not in by_width or weight < by_width[one.width][0]):
            by_width[one.width] = (weight, one)
    strips: list[tuple[Filled, Strip]] = []
    at = 0
    for width in sorted(counts):
        one = by_width[width][1]
        for _ in range(counts[width]):
            held = min(width, word.bits - at)
            strips.append((one, Strip(at, held)))
            at += held
    return strips


def _laned(
    word: Word, choices: Sequence[Filled], weights: Sequence[int]
) -> tuple[int, list[tuple[Filled, Strip]]]:
    """A shortest path over the bits; as far as a choice reaches is always best, since a shorter rest of
    the word never costs more."""
    far = [
        reaches(word, one.pieces[0])
        if len(one.pieces) == 1
        else tuple(map(min, zip(*(reaches(word, piece) for piece in one.pieces), strict=True)))
        for one in choices
    ]
    best: dict[int, tuple[int, int, int]] = {0: (0, 0, 0)}
    for at in range(word.bits):
        if at not in best:
            continue
        spent = best[at][0]
        for number, one in enumerate(far):
            to, total = one[at], spent + weights[number]
            if to not in best or total < best[to][0]:
                best[to] = (total, at, number)
    strips: list[tuple[Filled, Strip]] = []
    at = word.bits
    while at > 0:
        _, first, number = best[at]
        strips.append((choices[number], Strip(first, at - first)))
        at = first
    return best[word.bits][0], strips[::-1]
