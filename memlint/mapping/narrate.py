"""The counts in sentences: what a placement says under `because`."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import islice

from memlint.device.facts import Tier
from memlint.mapping.demand import Demand
from memlint.mapping.layout import Layout, Run
from memlint.mapping.modes import ports_text
from memlint.mapping.ways import Way
from memlint.mapping.wording import amount, percent, plural

HALF = Fraction(1, 2)
MOST_SENTENCES = 6


def mode_sentence(demand: Demand, way: Way) -> str:
    """The mode, and the copies and banks that multiply the count."""
    said = f"{ports_text(demand)} in mode {way.mode.name}"
    if way.copies > 1:
        reads = demand.reads + demand.readwrites
        alike = "are written alike" if demand.writes + demand.readwrites else "hold the same"
        said += f", in {way.copies:,} copies that {alike}, for its {plural(reads, 'read')}"
    if demand.banks > 1:
        said += f", in {demand.banks:,} banks"
    return said


def cut_sentences(chosen: Layout, tier: Tier, unit: int) -> Iterator[str]:
    """One sentence for each group of like runs; a uniform cut is one group."""
    groups: dict[tuple[int, int, int, int, int], list[Run]] = {}
    for run in chosen.runs:
        key = (run.first_word, run.words, run.piece.depth, run.piece.width, run.blocks)
        groups.setdefault(key, []).append(run)
    for runs in islice(groups.values(), MOST_SENTENCES):
        yield _group(runs, tier, unit, whole=len(groups) == 1)
    if len(groups) > MOST_SENTENCES:
        yield f"and {plural(len(groups) - MOST_SENTENCES, 'cut')} more"


def _group(runs: list[Run], tier: Tier, unit: int, whole: bool) -> str:
    first = runs[0]
    count, cost = first.blocks * len(runs), Fraction(first.piece.cost, unit)
    bits = sum(run.bits for run in runs)
    noun = f" {'half' if count == 1 else 'halves'}" if cost == HALF else ""
    said = f"{count:,}{noun} of {first.piece.depth} x {first.piece.width}"
    if cost not in (1, HALF):
        said += f" (at {amount(cost)} blocks each)"
    if first.blocks > 1 and len(runs) > 1:
        said += f", {len(runs):,} side by side of {first.blocks:,} one above the other,"
    elif count > 1:
        said += " one above the other" if first.blocks > 1 else " side by side"
    said += f" {'holds' if count == 1 else 'hold'} {first.words:,} x {bits:,}"
    if not whole:
        said += f" from word {first.first_word:,}, bit {first.first_bit:,}"
    if tier.block_bits:
        said += f", {percent(Fraction(first.words * bits) / (count * cost * tier.block_bits))} full"
    return said
