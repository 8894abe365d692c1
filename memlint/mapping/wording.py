"""How numbers are written in sentences."""

from __future__ import annotations

from fractions import Fraction


def amount(blocks: Fraction | int) -> str:
    """Blocks as people write them: `1,024`, `2.5`, `2 1/3`."""
    exact = Fraction(blocks)
    if exact.denominator == 1:
        return f"{exact.numerator:,}"
    if 1000 % exact.denominator == 0:
        whole, rest = divmod(exact, 1)
        return f"{int(whole):,}.{f'{float(rest):.3f}'[2:].rstrip('0')}"
    whole, rest = divmod(exact, 1)
    return f"{int(whole):,} {rest}" if whole else str(rest)


def percent(part: Fraction) -> str:
    """A share in whole per cent that never says all or nothing when it is neither."""
    if part == 0 or part == 1:
        return f"{int(part * 100)} %"
    rounded = round(part * 100)
    if rounded == 0:
        return "under 1 %"
    return "over 99 %" if rounded == 100 and part < 1 else f"{rounded} %"


def plural(count: int, noun: str) -> str:
    """`1 copy`, `2 copies`, `3 blocks`."""
    if count == 1:
        return f"1 {noun}"
    return f"{count:,} {noun[:-1]}ies" if noun.endswith("y") else f"{count:,} {noun}s"
