"""The closing lines of the text reports: what each root takes of each tier, and what is not in the sum."""

from __future__ import annotations

from memlint.device.facts import REGISTERS
from memlint.engine.judgement import Judgement, TierTotal
from memlint.reports.page import Page
from memlint.rules.totals import below
from memlint.rules.view import MemoryView
from memlint.rules.wording import amount, listed, percent, plural, quoted

ESTIMATE = "Counts are estimates: confirm them with the device's own documents and tools."
_HEAD = ("tier", "blocks", "available", "full", "memories")


def totals(judgement: Judgement, page: Page) -> list[str]:
    """A table for each root that holds memories, or instances without source."""
    lines: list[str] = []
    for root in sorted(judgement.roots):
        lines += _root(judgement, root, page)
    return lines


def _root(judgement: Judgement, root: str, page: Page) -> list[str]:
    mine = [one for one in judgement.totals if one.root == root and one.memories]
    views = [view for view in judgement.memories if below(view.memory.path, root)]
    left_out = _left_out(judgement, root, views)
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


def _left_out(judgement: Judgement, root: str, views: list[MemoryView]) -> list[str]:
    """What is in no sum, each as a line."""
    lines = []
    outside = [view for view in views if view.tier is not None and view.tier.role == "external"]
    if outside:
        names = sorted({view.tier.name for view in outside if view.tier is not None})
        lines.append(f"off chip: {plural(len(outside), 'memory', 'memories')} in {listed(names)}")
    nowhere = [view for view in views if view.tier is None]
    if nowhere:
        lines.append(f"not counted: {plural(len(nowhere), 'memory', 'memories')} without a tier")
    units = [
        f"{quoted(unit.name)} ({plural(count, 'instance')})"
        for unit in sorted(judgement.missing, key=lambda one: one.name)
        if (count := sum(below(path, root) for path in unit.instances))
    ]
    if units:
        lines.append(f"not counted: units without source, {listed(units)}")
    return lines
