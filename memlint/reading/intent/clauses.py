"""The clauses of an intent, one frozen class each."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import TypeAlias

from memlint.text.source import Span


def _span() -> Span:
    return field(compare=False, repr=False, kw_only=True)  # type: ignore[no-any-return]


@dataclass(frozen=True, slots=True)
class In:
    """`in bulk or block`: the tiers wanted, best first; `tier_spans` in the same order."""

    tiers: tuple[str, ...]
    tier_spans: tuple[Span, ...] = field(compare=False, repr=False, kw_only=True)
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Shape:
    """`shape 32K x 40`: words and bits of one bank."""

    depth: int
    width: int
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Ports:
    """`ports 1w 2r` (counts), `rom`, or `1w(32) 1r(8)` with widths in bits."""

    w: int
    r: int
    rw: int
    rom: bool = False
    write_width: int | None = None
    read_width: int | None = None
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Clocks:
    """`clocks a, b`; `one clock` has `one` set and no names."""

    names: tuple[str, ...]
    one: bool = False
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class ReadWithin:
    cycles: int
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class WriteLanes:
    """`write lanes 10` (every lane 10 bits: `each`) or `write lanes 1 + 20 + 11` (`widths`)."""

    widths: tuple[int, ...]
    each: int | None = None
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Ecc:
    """`ecc` (check bits to be added) or `ecc in word` (already among the array's bits)."""

    in_word: bool
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class SameAddress:
    """`same address before|after|any|never`."""

    gives: str
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Fifo:
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class InitialContents:
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Holds:
    """`holds 12 lines x 3840 x 30 bit`: `bits`, rounded up; `text` as written."""

    bits: int
    text: str
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Plan:
    """`plan name`: a memory that has no RTL yet."""

    name: str
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Times:
    count: int
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Budget:
    """`budget bulk <= 24, block <= 10`: (tier, most blocks) pairs; a half block is allowed."""

    limits: tuple[tuple[str, Fraction], ...]
    tier_spans: tuple[Span, ...] = field(compare=False, repr=False, kw_only=True)
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Accept:
    """`accept rule because "reason"`."""

    rule: str
    reason: str
    rule_span: Span = _span()
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Why:
    text: str
    span: Span = _span()


Clause: TypeAlias = (
    In | Shape | Ports | Clocks | ReadWithin | WriteLanes | Ecc | SameAddress | Fifo | InitialContents
    | Holds | Plan | Times | Budget | Accept | Why
)


@dataclass(frozen=True, slots=True)
class Intent:
    """One intent: the clauses of one comment, or of consecutive `@mem` comment lines.

    `on` is the dotted path of `on path:` (`[*]` kept as written), `` without it.
    `span` covers the comments; it does not take part in equality.
    """

    clauses: tuple[Clause, ...]
    on: str = ""
    on_span: Span | None = field(default=None, compare=False, repr=False)
    span: Span = _span()
