"""Numbers, characters, strings and bit strings as spelled (IEEE Std 1076-2008, 15.5 to 15.8)."""

from __future__ import annotations

import re

from memlint.reading.facts.expressions import Expr, Number, Real, String, Unsupported
from memlint.text.source import Span

_BIT_STRING = re.compile(r'(\d*)([su]?)([boxd])"([^"]*)"', re.IGNORECASE)
_BITS_PER_DIGIT = {"b": 1, "o": 3, "x": 4}
_WORD = re.compile(r"[^\W\d]\w*")
# A literal longer than this is data, not a number anyone sizes a memory with; int() is quadratic.
_MOST_DIGITS = 4000


def atom(text: str, span: Span) -> Expr:
    """The node of a number, a bit string, a character or an external name."""
    if text[0] == "'":
        return String(text[1:-1], character=True, span=span)
    if text[0] == "<":
        words = [word.lower() for word in _WORD.findall(text)]
        return Unsupported("external name", tuple(dict.fromkeys(words[1:])), span=span)
    if text[-1] == '"':
        return _bit_string(text, span)
    try:
        return _number(text.replace("_", "").lower(), span)
    except (ValueError, OverflowError):
        return Unsupported("malformed number", (), span=span)


def string(text: str, span: Span) -> String:
    """A string literal; two quotes inside stand for one."""
    inner = text[1:-1]
    return String(inner.replace('""', '"') if '"' in inner else inner, span=span)


def _number(text: str, span: Span) -> Expr:
    base = 10
    mantissa, exponent = text, ""
    if "#" in text:
        head, mantissa, exponent = text.split("#")
        base = int(head)
        exponent = exponent[1:]
        if not 2 <= base <= 16:
            return Unsupported("malformed number", (), span=span)
    elif "e" in text:
        mantissa, exponent = text.split("e")
    scale = int(exponent or "0")
    if len(mantissa) > _MOST_DIGITS or abs(scale) > _MOST_DIGITS:
        return Unsupported("number with too many digits", (), span=span)
    if "." in mantissa:
        whole, part = mantissa.split(".")
        if base == 10:
            return Real(float(f"{whole}.{part}e{scale}"), span=span)
        digits = int(whole + part, base)
        return Real(float(digits) * float(base) ** (scale - len(part)), span=span)
    value = int(mantissa, base)
    if scale < 0:
        return Unsupported("integer with a negative exponent", (), span=span)
    return Number(value * base**scale, None, True, span=span)


def _bit_string(text: str, span: Span) -> Expr:
    match = _BIT_STRING.fullmatch(text)
    if match is None:
        return Unsupported("malformed bit string", (), span=span)
    size, sign, base, digits = match[1], match[2].lower(), match[3].lower(), match[4].replace("_", "")
    if len(digits) > _MOST_DIGITS or len(size) > 9:
        return Unsupported("bit string with too many digits", (), span=span)
    width = int(size) if size else None
    if base == "d":
        if not digits.isdecimal():
            return Number(None, width, False, span=span)
        value = int(digits)
        return Number(value, max(value.bit_length(), 1) if width is None else width, False, span=span)
    per_digit = _BITS_PER_DIGIT[base]
    given = len(digits) * per_digit
    full = given if width is None else width
    try:
        value = int(digits or "0", 1 << per_digit)
    except ValueError:
        return Number(None, full, sign == "s", span=span)
    if sign == "s" and full > given > 0 and value >> (given - 1):
        value |= ((1 << (full - given)) - 1) << given
    return Number(value & ((1 << full) - 1), full, sign == "s", span=span)
