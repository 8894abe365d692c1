"""How findings say why a memory is read without a clock, and what would give the read one."""

from __future__ import annotations

from collections.abc import Sequence

from memlint.design.memory import Access, Memory
from memlint.rules.finding import Related
from memlint.rules.wording import at_address, plural

REMEDIES = (
    "register the word before any logic uses it: one cycle later, on the clock that uses it",
    "or register the address, and use that register for nothing but this read",
)
"""What gives a read its clock."""

MOST_READS = 3
"""The reads whose places are shown; the others are counted."""


def asynchronous_reads(memory: Memory) -> list[Access]:
    """Every read without a clock, in the order of the ports."""
    accesses = (access for port in memory.ports for access in port.accesses)
    return [access for access in accesses if access.kind == "read" and access.asynchronous]


def without_a_clock(reads: Sequence[Access]) -> str:
    """` at address `ra` and 2 others: the word goes through `+``: the first read, how many more, and why."""
    first = reads[0]
    reason = f": the word {first.reason}" if first.reason else ""
    more = f" and {plural(len(reads) - 1, 'other')}" if len(reads) > 1 else ""
    return f"{at_address(first)}{more}{reason}"


def places_of_reads(reads: Sequence[Access], first: bool) -> list[Related]:
    """What stands between each word and a register, and the reads themselves; each place once.

    `first` says whether the first read is among them: where a finding points at it already it is not.
    """
    places = [
        *(Related(one.span, "read without a clock here") for one in reads[: int(first)]),
        *(Related(one.reason_span, f"the word {one.reason}") for one in reads if one.reason_span),
        *(Related(note.span, note.text) for one in reads for note in one.also if note.span),
        *(Related(one.span, "also read without a clock here") for one in reads[1:]),
    ]
    own = reads[0].span if reads and not first else None
    kept = [one for one in dict.fromkeys(places) if one.span != own or not one.message.startswith("also")]
    return kept[: 2 * MOST_READS]
