"""The word a mode has to hold once check bits are counted."""

from __future__ import annotations

from dataclasses import dataclass

from memlint.device.facts import HardEcc, Mode, Tier
from memlint.mapping.demand import Demand
from memlint.mapping.secded import check_bits
from memlint.mapping.words import Word


@dataclass(frozen=True, slots=True)
class HardWord:
    """A hardened ECC word: data and check bits, and how many of them stand side by side.

    `check` is 0 with `check_known` False where the profile does not give it.
    """

    ecc: HardEcc
    data: int
    check: int
    count: int
    check_known: bool = True


@dataclass(frozen=True, slots=True)
class WordPlan:
    """The word with its check bits; `hard` where hardened ECC is used; `note` says where they come from."""

    word: Word
    check: int = 0
    hard: HardWord | None = None
    note: str = ""


def word_lanes(demand: Demand) -> tuple[int, ...]:
    """The write lanes that matter: none for a memory never written or written whole; bits that no lane
    covers are one more lane."""
    if not demand.lanes or demand.writes + demand.readwrites == 0:
        return ()
    rest = demand.width - sum(demand.lanes)
    lanes = (*demand.lanes, rest) if rest > 0 else demand.lanes
    return lanes if len(lanes) > 1 else ()


def word_plan(demand: Demand, tier: Tier, mode: Mode) -> WordPlan:
    """Hard ECC where the mode has it and the memory can use it, else SECDED bits made in logic."""
    lanes = word_lanes(demand)
    if demand.ecc == "none":
        return WordPlan(Word(demand.width, lanes))
    if demand.ecc == "in word":
        note = (
            f"the check bits are among the {demand.width} bits of the word, made and checked in logic that "
            "is not counted"
        )
        return WordPlan(Word(demand.width, lanes), note=note)
    hard = next((one for one in tier.ecc if one.mode == mode.name), None)
    refusal = _no_hard_ecc(demand, tier, mode, hard, len(lanes))
    if hard is not None and hard.data is not None and not refusal:
        count = -(-demand.width // hard.data)
        check = hard.check or 0
        note = f"hardened ECC: {count:,} word{'s' * (count > 1)} of {hard.data} data bits"
        if hard.check is None:
            note += "; the profile does not give the check bits beside them"
        else:
            note += f" and {check} check bits"
        used = HardWord(hard, hard.data, check, count, hard.check is not None)
        return WordPlan(Word(demand.width + count * check), count * check, used, note)
    check = check_bits(demand.width)
    note = f"soft ECC: {check} check bits for {demand.width}, made in logic that is not counted{refusal}"
    if lanes:
        note += "; a write to one lane has to read the word first to renew them"
    return WordPlan(Word(demand.width + check, (*lanes, check) if lanes else ()), check, note=note)


def _no_hard_ecc(demand: Demand, tier: Tier, mode: Mode, hard: HardEcc | None, lanes: int) -> str:
    """Why hardened ECC is not used, as the end of a sentence; empty when it is, or there is none."""
    if hard is None:
        if "ecc" in tier.unknown:
            return f"; the profile does not say whether {tier.name} has hardened ECC"
        others = [one.mode for one in tier.ecc]
        return f"; the hardened ECC of {tier.name} is in mode {', '.join(others)} only" if others else ""
    if hard.data is None or not hard.shapes:
        return f"; the profile does not document the hardened ECC of {tier.name} in mode {mode.name}"
    if lanes and hard.lanes is False:
        return f"; the hardened ECC words of {tier.name} are written whole, this word in {lanes} lanes"
    if lanes and hard.lanes is None:
        return f"; the profile does not say whether hardened ECC words of {tier.name} can be written in lanes"
    if (demand.write_width or demand.width) != (demand.read_width or demand.width):
        return f"; the hardened ECC of {tier.name} is not reckoned with unequal port widths"
    return ""
