"""The words of the intent language, explained: what a clause says, what a tier is, what a rule finds."""

from __future__ import annotations

from dataclasses import dataclass

from memlint.device.facts import REGISTERS, Device, Mode, Tier
from memlint.rules import wording
from memlint.rules.base import rule_named
from memlint.rules.docs import documentation


@dataclass(frozen=True, slots=True)
class ClauseWords:
    """A kind of clause: `name` as people call it, `brief` what it is about in two or three words, a snippet
    that writes it, and what it says."""

    name: str
    brief: str
    snippet: str
    says: str


CLAUSES = {
    "in": ClauseWords(
        "in",
        "the tier",
        "in ${1:tier}",
        "The tier the memory goes to. Of several (`in block or bulk`) it is the first that takes its ports, "
        "clocks, read style, contents and lanes.",
    ),
    "shape": ClauseWords(
        "shape",
        "depth x width",
        "shape ${1:depth} x ${2:width}",
        "Words times bits of one bank, as the HDL must resolve them. K is 2^10 and M is 2^20.",
    ),
    "ports": ClauseWords(
        "ports",
        "writes and reads",
        "ports ${1:1w 1r}",
        "The ports after sharing: w writes, r reads, rw does both, rom is only read. "
        "`1w(32) 1r(8)` states widths that differ.",
    ),
    "one": ClauseWords(
        "one clock", "all ports on one", "one clock", "All ports are on one clock, whichever it is."
    ),
    "clocks": ClauseWords(
        "clocks",
        "the nets that clock it",
        "clocks ${1:wr_clk}, ${2:rd_clk}",
        "The nets that clock it, by their names here; the nets these come from must be the memory's.",
    ),
    "read": ClauseWords(
        "read within",
        "cycles to the data",
        "read within ${1:1} cycles",
        "The most clock edges from an address at the array to data that can be used: 0 is asynchronous, "
        "1 plain synchronous.",
    ),
    "write": ClauseWords(
        "write lanes",
        "bits written apart",
        "write lanes ${1:8}",
        "The parts of the word that are written separately, in bits: all alike (`write lanes 10`) "
        "or each by itself (`write lanes 1 + 20 + 11`).",
    ),
    "ecc": ClauseWords(
        "ecc",
        "error correction",
        "ecc",
        "Single errors are corrected, double ones detected. Check bits are added; `ecc in word` says that "
        "the array has them among its bits.",
    ),
    "same": ClauseWords(
        "same address",
        "read at a write",
        "same address ${1|before,after,any,never|}",
        "What a read gives when the same address is written at that edge: the word before, the word after, "
        "any (it does not matter), or that this never happens.",
    ),
    "fifo": ClauseWords("fifo", "used as a FIFO", "fifo", "The memory is used as a FIFO."),
    "initial": ClauseWords(
        "initial contents",
        "data at power-up",
        "initial contents",
        "The memory must hold given data when power comes up.",
    ),
    "holds": ClauseWords(
        "holds",
        "how much it must hold",
        "holds ${1:12} lines x ${2:3840} x ${3:30} bit",
        "How much it must hold: factors, exactly one with a unit, or a time at a rate "
        "(`2 ms at 10 Gbit/s`). Compared with depth times width times banks.",
    ),
    "plan": ClauseWords(
        "plan",
        "a memory without RTL",
        "plan ${1:name}; shape ${2:depth} x ${3:width}",
        "A memory that has no RTL yet. It is counted like any other in every instance of this unit.",
    ),
    "times": ClauseWords(
        "times", "how many are planned", "times ${1:2}", "How many of the planned memory there will be."
    ),
    "budget": ClauseWords(
        "budget",
        "most blocks of this unit",
        "budget ${1:block} <= ${2:10}",
        "The most blocks that each instance of this unit may take, with everything below it.",
    ),
    "accept": ClauseWords(
        "accept",
        "a finding, with a reason",
        'accept ${1:rule} because "${2:reason}"',
        "This finding is known and wanted; the reason is required.",
    ),
    "why": ClauseWords(
        "why",
        "a note for the reviewer",
        'why "${1:text}"',
        "A text for the reviewer. Nothing is checked against it.",
    ),
}
"""The clauses by their first word."""

ON = ClauseWords(
    "on",
    "which memory below",
    "on ${1:memory}: ",
    "Which memory below the instance the clauses speak for, by its dotted path; `[*]` is any index.",
)


def tier_summary(tier: Tier) -> str:
    """`bulk · 96 blocks of 327,680 bits`: a tier in one line."""
    if tier.role == "registers":
        return "flip-flops, one a bit"
    if tier.role == "external":
        return "off the chip"
    blocks = "blocks" if tier.blocks is None else wording.plural(tier.blocks, "block")
    return blocks if tier.block_bits is None else f"{blocks} of {tier.block_bits:,} bits"


def tier_facts(tier: Tier, device: Device) -> list[str]:
    """What a profile says about a tier, a line for each fact; what it does not say is left out."""
    if tier is REGISTERS:
        return ["any ports, clocks, reset and read style, at one flip-flop a bit"]
    lines = [f"{tier_summary(tier)}, on `{device.name}`"]
    if tier.external is not None:
        if tier.external.capacity_bits is not None:
            lines.append(f"holds {wording.bits(tier.external.capacity_bits)}")
        if tier.external.bandwidth_gbit_s is not None:
            lines.append(f"moves {tier.external.bandwidth_gbit_s:g} Gbit/s")
        return lines
    lines += [_mode(mode) for mode in tier.modes]
    if tier.clocks is not None:
        shared = tier.clocks == "one"
        lines.append("all ports share one clock" if shared else "each port may have its own clock")
    if tier.read is not None:
        after = "" if not tier.read_latency else f", data after {wording.plural(tier.read_latency, 'cycle')}"
        lines.append(f"{tier.read} read{after}")
    if tier.initial_contents is not None:
        said = {"any": "any", "zero": "all zero only", "none": "none"}[tier.initial_contents]
        lines.append(f"contents at power-up: {said}")
    if tier.chain is not None and tier.chain.longest is not None:
        lines.append(f"chains of up to {wording.plural(tier.chain.longest, 'block')} without fabric")
    for ecc in tier.ecc:
        if ecc.data is not None and ecc.check is not None:
            lines.append(f"hardened ECC of {ecc.data} + {ecc.check} bits in mode {ecc.mode}")
    return lines


def _mode(mode: Mode) -> str:
    shapes = ", ".join(wording.shape(shape.depth, shape.width) for shape in mode.shapes)
    return f"{mode.name.replace('_', ' ')}: {shapes or 'shapes not documented'}"


def rule_summary(name: str) -> str | None:
    """What a rule finds, in one sentence; None where there is no such rule."""
    rule = rule_named(name)
    return documentation(rule).summary if rule is not None else None
