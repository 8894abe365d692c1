"""Number literals of IEEE Std 1800-2017, 5.7."""

from __future__ import annotations

import re
from functools import lru_cache

from memlint.reading.facts.expressions import Number, Real
from memlint.text.source import Span

_BASED = re.compile(
    r"(?P<size>[0-9][0-9_]*)?\s*'(?P<sign>[sS]?)(?P<base>[bBoOdDhH])\s*(?P<digits>[0-9a-fA-FxXzZ?_]+)\Z"
)
_REAL = re.compile(r"[0-9][0-9_]*(\.[0-9][0-9_]*)?([eE][+-]?[0-9][0-9_]*)?(s|ms|us|ns|ps|fs)?\Z")
_BASES = {"b": 2, "o": 8, "d": 10, "h": 16}
# A literal wider than this is no size anyone means; it is kept as unknown rather than computed.
_LONGEST_DIGITS = 100_000


def number(text: str, span: Span) -> Number | Real | None:
    """The value of a literal, None when `text` is no number. Digits x and z make the value unknown."""
    found = _meaning(text)
    if found is None:
        return None
    if isinstance(found, float):
        return Real(found, span=span)
    value, width, signed, fill = found
    return Number(value, width, signed, fill=fill, span=span)


@lru_cache(maxsize=4096)
def _meaning(text: str) -> tuple[int | None, int | None, bool, bool] | float | None:
    """Value, width, sign and fill of a whole number, or a real one; files are full of the same few."""
    if text.isdecimal():
        return (int(text) if len(text) <= 4000 else None), None, True, False
    if len(text) == 2 and text[0] == "'" and text[1] in "01xXzZ?":
        return (int(text[1]) if text[1] in "01" else None), None, False, True
    based = _BASED.match(text)
    if based:
        return (*_based(based), False)
    plain = text.replace("_", "")
    if plain.isdecimal() and len(plain) <= 4000:
        return int(plain), None, True, False
    if _REAL.match(text):
        return float(re.sub(r"(s|ms|us|ns|ps|fs)\Z", "", plain))
    return None


def _based(match: re.Match[str]) -> tuple[int | None, int | None, bool]:
    size = match["size"]
    width = int(size.replace("_", "")) if size else None
    signed = bool(match["sign"])
    digits = match["digits"].replace("_", "")
    base = _BASES[match["base"].lower()]
    try:
        value = int(digits, base) if len(digits) <= _LONGEST_DIGITS and digits else None
    except ValueError:
        value = None
    if value is None:
        return None, width, signed
    if width is not None and width <= _LONGEST_DIGITS:
        value &= (1 << width) - 1
        if signed and width and value >> (width - 1):
            value -= 1 << width
    return value, width, signed
