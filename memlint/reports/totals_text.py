"""The closing lines of the text reports: what each root takes of each tier, and what is not in the sum."""

from __future__ import annotations

from collections.abc import Sequence

from memlint.device.facts import REGISTERS
from memlint.engine.judgement import Judgement, TierTotal
from memlint.reports.page import Page
from memlint.reports.totals_of_roots import MOST_TABLES, totals_of_roots
from memlint.rules.totals import by_root, without_tier
from memlint.rules.view import MemoryView
from memlint.rules.wording import amount, listed, percent, plural, quoted

ESTIMATE = "Counts are estimates: confirm them with the device's own documents and tools."
MOST_UNITS = 8
"""Units without source that are named; every one of them is a `unit-not-found` and stands in JSON."""

_HEAD = ("tier", "blocks", "available", "full", "memories")


def totals(judgement: Judgement, page: Page) -> list[str]:
    """A table for each root that holds memories, or instances without source; one table for many roots."""
    lines: list[str] = []
    views = by_root((view.memory.path for view in judgement.memories), judgement.roots)
    missing = by_root((path for unit in judgement.missing for path in unit.instances), judgement.roots)
    taken: dict[str, list[TierTotal]] = {}
    for one in judgement.totals:
        if one.memories:
            taken.setdefault(one.root, []).append(one)
    roots = sorted({*views, *missing, *taken})
    if len(roots) > MOST_TABLES:
        if taken:
            lines += totals_of_roots(judgement, taken, page)
        for text in _left_out(judgement, judgement.roots, judgement.memories):
            lines += page.block("", text, indent=2)
        return [page.paint("Taken by each root", "title"), *lines, ""]
    for root in roots:
        held = [judgement.memories[at] for at in views.get(root, ())]
        lines += _root(judgement, root, taken.get(root, []), held, page)
    return lines


def _root(
    judgement: Judgement, root: str, mine: list[TierTotal], views: list[MemoryView], page: Page
) -> list[str]:
    left_out = _left_out(judgement, (root,), views)
    if not mine and not left_out:
        return []
    rows = [_HEAD, *(_row(one) for one in mine)] if mine else []
    widths = [max(len(row[at]) for row in rows) for at in range(len(_HEAD))] if rows else []
    lines = [page.paint(root, "title")]
    for number, row in enumerate(rows):
        cells = [row[0].ljust(widths[0])]
        cells += [cell.rjust(width) for cell, width in zip(row[1:4], widths[1:4], strict=True)]
        text = "  " + "  ".join([*cells, row[4]]).rstrip()
        lines.append(page.paint(text, "quiet") if number == 0 else text)
    for text in left_out:
        lines += page.block("", text, indent=2)
    return [*lines, ""]


def _row(one: TierTotal) -> tuple[str, ...]:
    is_full = one.available is not None and one.available > 0
    return (
        one.tier,
        amount(one.blocks),
        "unknown" if one.available is None else amount(one.available),
        percent(one.blocks / one.available) if is_full and one.available else "",
        amount(one.memories)
        + (", counted in flip-flops" if one.tier == REGISTERS.name else "")
        + (f", of which {one.unknown} not counted" if one.unknown else ""),
    )


def _left_out(judgement: Judgement, roots: Sequence[str], views: Sequence[MemoryView]) -> list[str]:
    """What is in no sum of these roots, each as a line."""
    lines = []
    outside = [view for view in views if view.tier is not None and view.tier.role == "external"]
    if outside:
        names = sorted({view.tier.name for view in outside if view.tier is not None})
        lines.append(f"off chip: {plural(len(outside), 'memory', 'memories')} in {listed(names)}")
    nowhere = [view for view in views if view.tier is None]
    if nowhere:
        lines.append(f"not counted: {without_tier(nowhere)}")
    units = [
        f"{quoted(unit.name)} ({plural(count, 'instance')})"
        for unit in sorted(judgement.missing, key=lambda one: one.name)
        if (count := sum(map(len, by_root(unit.instances, roots).values())))
    ]
    if units:
        lines.append(f"not counted: units without source, {_first(units)}")
    return lines


def _first(units: Sequence[str]) -> str:
    more = len(units) - MOST_UNITS
    return f"{', '.join(units[:MOST_UNITS])} and {more} more" if more > 1 else listed(units)
