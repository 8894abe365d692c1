"""How the page writes numbers: the very ones of `memlint list --format json`."""

from __future__ import annotations

from fractions import Fraction

from memlint.reports.json_output import number
from memlint.rules import wording

UNKNOWN = "unknown"


def figure(value: Fraction | int) -> str:
    """`1,024`, `7.5`: whole where it can be, else as many places as the JSON has."""
    return f"{number(value):,}"


def share(part: Fraction) -> str:
    """A part in per cent to one place; never 0 or 100 when it is neither."""
    per_cent = part * 100
    if part in (0, 1):
        return f"{int(per_cent)} %"
    if per_cent < Fraction(5, 100):
        return "< 0.1 %"
    if Fraction(9995, 100) <= per_cent < 100:
        return "> 99.9 %"
    return f"{float(per_cent):,.1f} %"


def bits(value: Fraction | int) -> str:
    """Exact bits, then binary units."""
    exact = Fraction(value)
    return wording.bits(exact.numerator) if exact.denominator == 1 else f"{figure(exact)} bits"


def counted(blocks: Fraction | int, role: str) -> str:
    """Blocks with their noun; registers are counted in flip-flops."""
    noun = "flip-flop" if role == "registers" else "block"
    return f"{figure(blocks)} {noun}{'' if blocks == 1 else 's'}"
