"""The numbers of an intent: K and M, sums, differences and products, bounded."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from memlint.reading.intent.refusal import Refusal

LARGEST = 2**63
"""No number of an intent may be larger: far above any memory, and safe in every output format."""

_SCALES = {"K": 2**10, "M": 2**20}
_DIGITS = 40


@dataclass(frozen=True, slots=True)
class Number:
    """A value and where it stands in the parsed text. A Fraction was written with a decimal point."""

    value: int | Fraction
    start: int
    end: int


class Word(str):
    """A piece of the parsed text: the terminal it is (`type`) and the offset it stands at."""

    __slots__ = ("start", "type")

    type: str
    start: int

    def __new__(cls, text: str, type: str, start: int) -> Word:
        word = super().__new__(cls, text)
        word.type = type
        word.start = start
        return word


class Arithmetic:
    """Reckons while parsing, so that neither long sums nor deep parentheses build a tree to recurse in."""

    def number(self, children: list[Word]) -> Number:
        return whole_number(children[0])

    def decimal(self, children: list[Word]) -> Number:
        token = children[0]
        start, end = place(token)
        if len(token) > _DIGITS:
            raise _too_large(start, end)
        return bounded(Fraction(str(token)), start, end)

    def add(self, children: list[Number]) -> Number:
        left, right = children
        return bounded(left.value + right.value, left.start, right.end)

    def subtract(self, children: list[Number]) -> Number:
        left, right = children
        return bounded(left.value - right.value, left.start, right.end)

    def multiply(self, children: list[Number]) -> Number:
        left, right = children
        return bounded(left.value * right.value, left.start, right.end)


def whole_number(token: Word) -> Number:
    """The value of a NUMBER token: digits, `_` between them, then K or M or nothing."""
    start, end = place(token)
    digits = token.rstrip("KM").replace("_", "")
    if len(digits) > _DIGITS:
        raise _too_large(start, end)
    return bounded(int(digits) * _SCALES.get(token[-1], 1), start, end)


def place(word: Word) -> tuple[int, int]:
    """The offsets between which a word stands."""
    return word.start, word.start + len(word)


def bounded(value: int | Fraction, start: int, end: int) -> Number:
    """The value as a Number; raises Refusal beyond 2^63 to either side."""
    if not -LARGEST <= value <= LARGEST:
        raise _too_large(start, end)
    return Number(value, start, end)


def _too_large(start: int, end: int) -> Refusal:
    message = f"this number is larger than 2^63 = {LARGEST:,}"
    return Refusal(message, start, end, ("write the number of words, bits or blocks that is meant",))
