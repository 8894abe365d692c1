"""What many roots take, a line each: where no top is named, every unit nobody instantiates is a root."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from memlint.device.facts import REGISTERS
from memlint.engine.judgement import Judgement, TierTotal
from memlint.reports.page import Page
from memlint.rules.wording import amount, listed, plural

MOST_TABLES = 3
"""Up to so many roots have a table each."""

MOST_ROOTS = 12
"""The roots that have a line; the others are one line together."""

_MORE = "the totals of one design: name its root with `--top UNIT`, or `top` in memlint.toml"


def totals_of_roots(judgement: Judgement, taken: Mapping[str, Sequence[TierTotal]], page: Page) -> list[str]:
    """One table of the roots that hold memories, those with the largest share of a tier first."""
    order = sorted(taken, key=lambda root: (-_share(taken[root]), root))
    shown, others = order[:MOST_ROOTS], order[MOST_ROOTS:]
    tiers = [one for one in judgement.device.on_chip() if any(_of(taken[root], one.name) for root in order)]
    head = ("root", *(tier.name for tier in tiers), "memories")
    rows = [_row(root, taken[root], head) for root in shown]
    last = ("available", *("unknown" if tier.blocks is None else amount(tier.blocks) for tier in tiers), "")
    lines = _table([head, *rows, last], page)
    if others:
        lines += page.block("", _rest(others, taken, [tier.name for tier in tiers]), indent=2)
    if any("?" in cell for row in rows for cell in row[1:]):
        lines += page.block("", "? and memories there that could not be counted", indent=2)
    return [*lines, *page.block("", _MORE, indent=2)]


def _of(totals: Sequence[TierTotal], tier: str) -> TierTotal | None:
    return next((one for one in totals if one.tier == tier), None)


def _share(totals: Sequence[TierTotal]) -> Fraction:
    """The largest share of what there is that a root takes of any tier."""
    return max((one.blocks / one.available for one in totals if one.available), default=Fraction(0))


def _row(root: str, totals: Sequence[TierTotal], head: Sequence[str]) -> tuple[str, ...]:
    cells = [root]
    for tier in head[1:-1]:
        one = _of(totals, tier)
        unit = " FF" if tier == REGISTERS.name else ""
        cells.append("" if one is None else amount(one.blocks) + unit + (" + ?" if one.unknown else ""))
    return (*cells, amount(sum(one.memories for one in totals)))


def _rest(roots: Sequence[str], taken: Mapping[str, Sequence[TierTotal]], tiers: Sequence[str]) -> str:
    """`and 30 more roots with 12.5 blocks of block and 96 flip-flops`."""
    parts = []
    for tier in tiers:
        there = [found for root in roots if (found := _of(taken[root], tier)) is not None]
        blocks = sum((one.blocks for one in there), Fraction(0))
        unknown = sum(one.unknown for one in there)
        more = f" and {plural(unknown, 'memory', 'memories')} not counted" if unknown else ""
        if tier == REGISTERS.name and blocks:
            parts.append(plural(blocks, "flip-flop"))
        elif blocks or unknown:
            parts.append(f"{plural(blocks, 'block')} of {tier}{more}")
    return f"and {plural(len(roots), 'more root')} with {listed(parts) or 'no blocks'}"


def _table(rows: Sequence[tuple[str, ...]], page: Page) -> list[str]:
    """Figures in columns; a root whose name leaves them no room stands on a line of its own."""
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
    figures = sum(width + 2 for width in widths[1:])
    room = max(len("available"), page.width - 2 - figures)
    widths[0] = min(widths[0], room)
    lines = []
    for number, row in enumerate(rows):
        name = row[0]
        cells = [cell.rjust(width) for cell, width in zip(row[1:], widths[1:], strict=True)]
        if len(name) > widths[0]:
            lines.append(f"  {name}")
            name = ""
        text = "  ".join([f"  {name.ljust(widths[0])}", *cells]).rstrip()
        lines.append(page.paint(text, "quiet") if number in (0, len(rows) - 1) else text)
    return lines
