"""How findings put numbers and names, so that every rule says the same thing the same way."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from memlint.design.memory import Access, Memory
from memlint.mapping.demand import Placement
from memlint.mapping.wording import amount, percent
from memlint.rules.view import MemoryView

KIBI = 1024
MEBI = 1024 * 1024
FEW_FLIP_FLOPS = 1024
"""`registers` is offered beside other tiers up to this many flip-flops."""

MOST_FLIP_FLOPS = 65_536
"""And up to this many where no other tier takes the memory; above, it is no advice."""

OFFERED_SHARE = Fraction(1, 4)
"""A home that takes more of its tier than this is offered only if no other takes less."""


def quoted(name: str) -> str:
    """A name as it stands in the source."""
    return f"`{name}`"


def plural(number: int | Fraction, noun: str, plural_noun: str = "") -> str:
    """`1 block`, `7.5 blocks`."""
    return f"{amount(number)} {noun if number == 1 else plural_noun or noun + 's'}"


def shape(depth: int, width: int) -> str:
    """`65,536 x 40`."""
    return f"{depth:,} x {width:,}"


def bits(number: int) -> str:
    """`2,621,440 bits (2.5 Mibit)`: exact, then in binary units from 1 Kibit up."""
    exact = plural(number, "bit")
    if number < KIBI:
        return exact
    unit, name = (MEBI, "Mibit") if number >= MEBI else (KIBI, "Kibit")
    scaled = Fraction(number, unit)
    about = "" if (scaled * 100).denominator == 1 else "about "
    return f"{exact} ({about}{float(scaled):,.2f}".rstrip("0").rstrip(".") + f" {name})"


def listed(items: Iterable[str], last: str = "and") -> str:
    """`a`, `a and b`, `a, b and c`."""
    words = list(items)
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def ports(w: int, r: int, rw: int) -> str:
    """`1w 2r`, in the words of the `ports` clause; `no ports` when there are none."""
    counted = [f"{count}{kind}" for count, kind in ((w, "w"), (r, "r"), (rw, "rw")) if count]
    return " ".join(counted) or "no ports"


def at_address(access: Access) -> str:
    """` at address `ra``; empty for an access that no RTL makes yet."""
    return f" at {access.place}" if access.place else ""


def memory_ports(memory: Memory) -> str:
    """A memory's ports after sharing; one that is only read is a `rom`."""
    w, r, rw = memory.count(True, False), memory.count(False, True), memory.count(True, True)
    return f"rom with {plural(r, 'read port')}" if r and not w and not rw else ports(w, r, rw)


def number_in_clause(number: int) -> str:
    """A number as a `shape` clause is best read: `32K`, `2M`, else plain digits."""
    for unit, letter in ((MEBI, "M"), (KIBI, "K")):
        if number >= unit and number % unit == 0:
            return f"{number // unit}{letter}"
    return str(number)


def placed_on(placement: Placement) -> str:
    """`in block: 15 blocks, 91 % full`, with the copies where there are several."""
    blocks = placement.blocks
    assert blocks is not None
    if placement.tier == "registers":
        return f"in registers: {plural(blocks, 'flip-flop')}"
    full = "" if placement.fill is None else f", {percent(placement.fill)} full"
    copies = "" if (placement.copies or 1) == 1 else f", in {placement.copies} copies"
    return f"in {placement.tier}: {plural(blocks, 'block')}{full}{copies}"


def homes(view: MemoryView, most: int = 3) -> list[str]:
    """The other tiers that take this memory, cheapest first, each with its cost; or that there is none."""
    tiers = [one for one in view.elsewhere if one.tier != "registers"]
    cheap = [one for one in tiers if one.share is None or one.share <= OFFERED_SHARE]
    limit = FEW_FLIP_FLOPS if tiers else MOST_FLIP_FLOPS
    registers = [
        one
        for one in view.elsewhere
        if one.tier == "registers" and one.blocks is not None and one.blocks <= limit
    ]
    offered = [*(cheap or tiers)[:most], *registers]
    return [placed_on(one) for one in offered] or [f"no other tier of `{view.device.name}` takes it"]


__all__ = [
    "amount",
    "bits",
    "homes",
    "listed",
    "memory_ports",
    "number_in_clause",
    "percent",
    "placed_on",
    "plural",
    "ports",
    "quoted",
    "shape",
]
