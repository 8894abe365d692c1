"""Number literals of IEEE Std 1800-2017, 5.7."""

from __future__ import annotations

import re

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
    if text.isdecimal():
        if len(text) > 4000:
            return Number(None, None, True, span=span)
        return Number(int(text), None, True, span=span)
    if len(text) == 2 and text[0] == "'" and text[1] in "01xXzZ?":
        value = int(text[1]) if text[1] in "01" else None
        return Number(value, None, False, span=span, fill=True)
    based = _BASED.match(text)
    if based:
        return _based(based, span)
    plain = text.replace("_", "")
    if plain.isdecimal() and len(plain) <= 4000:
        return Number(int(plain), None, True, span=span)
    if _REAL.match(text):
        return Real(float(re.sub(r"(s|ms|us|ns|ps|fs)\Z", "", plain)), span=span)
    return None


def _based(match: re.Match[str], span: Span) -> Number:
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
        return Number(None, width, signed, span=span)
    if width is not None and width <= _LONGEST_DIGITS:
        value &= (1 << width) - 1
        if signed and width and value >> (width - 1):
            value -= 1 << width
    return Number(value, width, signed, span=span)
