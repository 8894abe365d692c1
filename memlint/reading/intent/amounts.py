"""How much a memory must hold: the factors of `holds`, their units, and the bits they come to."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from memlint.reading.intent.arithmetic import Number, bounded
from memlint.reading.intent.refusal import Refusal
from memlint.reading.intent.wording import did_you_mean

# Decimal prefixes are those of the SI, binary ones those of IEC 80000-13; a byte is 8 bits.
SIZES = {
    "bit": 1, "kbit": 10**3, "Mbit": 10**6, "Gbit": 10**9,
    "byte": 8, "kbyte": 8 * 10**3, "Mbyte": 8 * 10**6,
    "Kibit": 2**10, "Mibit": 2**20, "KiB": 8 * 2**10, "MiB": 8 * 2**20,
}  # fmt: skip
TIMES = {"s": Fraction(1), "ms": Fraction(1, 10**3), "us": Fraction(1, 10**6), "ns": Fraction(1, 10**9)}

# Spellings that would else pass for nouns, in lower case, and what may be meant by them.
_LOOKALIKES = {
    "bits": ("bit",), "bytes": ("byte",),
    "kb": ("kbit", "kbyte", "Kibit", "KiB"), "mb": ("Mbit", "Mbyte", "Mibit", "MiB"), "gb": ("Gbit", "Mbyte"),
    "kbit": ("kbit", "Kibit"), "kbits": ("kbit", "Kibit"),
    "mbit": ("Mbit", "Mibit"), "mbits": ("Mbit", "Mibit"),
    "gbit": ("Gbit",), "gbits": ("Gbit",), "gbyte": ("Mbyte",), "gbytes": ("Mbyte",),
    "kbyte": ("kbyte", "KiB"), "kbytes": ("kbyte", "KiB"),
    "mbyte": ("Mbyte", "MiB"), "mbytes": ("Mbyte", "MiB"),
    "kib": ("KiB",), "mib": ("MiB",), "gib": ("MiB",),
    "kibit": ("Kibit",), "mibit": ("Mibit",), "gibit": ("Mibit",),
    "kibyte": ("KiB",), "mibyte": ("MiB",), "sec": ("s",), "µs": ("us",), "μs": ("us",),
}  # fmt: skip
_RATE_LOOKALIKES = {"kbps": "kbit/s", "mbps": "Mbit/s", "gbps": "Gbit/s"}
_UNITS_HELP = "the units are " + ", ".join(f"`{unit}`" for unit in SIZES)


@dataclass(frozen=True, slots=True)
class Factor:
    """A number, the word after it, and for a time the rate it runs at with its word (and places)."""

    number: Number
    word: str = ""
    word_at: tuple[int, int] = (0, 0)
    rate: Number | None = None
    rate_word: str = ""
    rate_at: tuple[int, int] = (0, 0)


def bits_of(factors: tuple[Factor, ...]) -> int:
    """The product in bits, rounded up. Raises Refusal unless exactly one factor has a unit."""
    product = Fraction(1)
    united: Factor | None = None
    for factor in factors:
        size = _size(factor)
        if size is None:
            product *= _count(factor)
        elif united is None:
            united, product = factor, product * size
        else:
            message = f"two factors have a unit: `{united.word}` and `{factor.word}`"
            raise Refusal(message, *factor.word_at, ("leave the unit off all factors but one",))
        bounded(product, factors[0].number.start, _end(factor))
    if united is None:
        raise _no_unit(factors)
    if product <= 0:
        raise Refusal("this holds nothing: it comes to 0 bits", factors[0].number.start, _end(factors[-1]))
    return ceil(product)


def _size(factor: Factor) -> Fraction | None:
    """Bits of a factor that has a unit, None for a count."""
    word, at = factor.word, factor.word_at
    if factor.rate is not None:
        return _time_at_rate(factor, factor.rate)
    if word in SIZES:
        return Fraction(factor.number.value) * SIZES[word]
    example = ("write it like `2 ms at 10 Gbit/s`",)
    if word in TIMES:
        raise Refusal(f"`{word}` is a time, and the rate it is held at is missing", *at, example)
    if "/" in word or word.lower() in _RATE_LOOKALIKES:
        raise Refusal(f"`{word}` is a rate: it stands after a time and `at`", *at, example)
    _refuse_lookalike(word, at)
    return None


def _time_at_rate(factor: Factor, rate: Number) -> Fraction:
    word, at = factor.word, factor.word_at
    if word not in TIMES:
        _refuse_lookalike(word, at)
        names = ", ".join(f"`{unit}`" for unit in TIMES)
        message = f"only a time can be held `at` a rate, and `{word}` is none"
        raise Refusal(message, *at, (f"the units of time are {names}",))
    size, slash, per = factor.rate_word.partition("/")
    if size not in SIZES or not slash or per != "s":
        meant = _RATE_LOOKALIKES.get(factor.rate_word.lower())
        advice = (f"did you mean `{meant}`?",) if meant else _rate_help(factor.rate_word, size)
        raise Refusal(f"`{factor.rate_word}` is no rate", *factor.rate_at, advice)
    return Fraction(factor.number.value) * TIMES[word] * Fraction(rate.value) * SIZES[size]


def _rate_help(word: str, size: str) -> tuple[str, ...]:
    meant = tuple(f"write `{unit}/s`" for unit in _meant(size))
    return meant or (*did_you_mean(word, [f"{unit}/s" for unit in SIZES]), "write it like `10 Gbit/s`")


def _refuse_lookalike(word: str, at: tuple[int, int]) -> None:
    if word.upper() in ("K", "M", "G"):
        help = ("write `32K` for 32 x 2^10, `2M` for 2 x 2^20",)
        raise Refusal(f"`{word}` stands apart from its number", *at, help)
    meant = _meant(word)
    if not meant or word in SIZES:
        return
    if len(meant) > 1:
        spellings = tuple(f"write `{unit}` for {SIZES[unit]:,} bits" for unit in meant)
        raise Refusal(f"`{word}` can be read in more than one way", *at, spellings)
    raise Refusal(f"`{word}` is no unit here", *at, (f"write `{meant[0]}`",))


def _meant(word: str) -> tuple[str, ...]:
    return _LOOKALIKES.get(word.lower(), ())


def _count(factor: Factor) -> int:
    number = factor.number
    if isinstance(number.value, Fraction):
        help = ("only the factor with the unit may have a decimal point",)
        raise Refusal("a count is a whole number", number.start, number.end, help)
    if number.value < 1:
        message = f"a count of {number.value} holds nothing"
        raise Refusal(message, number.start, number.end, ("write 1 or more",))
    return number.value


def _no_unit(factors: tuple[Factor, ...]) -> Refusal:
    for factor in factors:
        close = did_you_mean(factor.word, SIZES) if factor.word else ()
        if close:
            return Refusal(f"no factor has a unit, and `{factor.word}` is none", *factor.word_at, close)
    last = factors[-1]
    help = ("end it with a unit, such as `30 bit`", _UNITS_HELP)
    return Refusal("no factor has a unit", last.number.start, _end(last), help)


def _end(factor: Factor) -> int:
    return max(factor.number.end, factor.word_at[1], factor.rate_at[1])
