"""`memlint reconcile` for people: the outliers first, then what explains the rest, then the sums."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from memlint.engine.reconciling import Compared, Reconciliation, Verdict
from memlint.reports.page import Page
from memlint.reports.totals_text import ESTIMATE
from memlint.rules.wording import amount, plural, shape

_MOST = 12
_TITLES = {
    Verdict.OUTLIER: "Counts that nothing explains",
    Verdict.EXPLAINED: "Built another way",
    Verdict.ACCEPTED: "Accepted",
    Verdict.AGREES: "As counted",
}


def reconcile_text(found: Reconciliation, device: str, everything: bool, page: Page) -> str:
    """The comparison; memories that agree only when asked for. Ends in a line end."""
    lines: list[str] = []
    for verdict, title in _TITLES.items():
        of_it = found.of(verdict)
        if of_it and (verdict is not Verdict.AGREES or everything):
            lines += [page.paint(title, "title"), *_memories(of_it, page), ""]
    lines += _left(found, page)
    lines.append(page.paint(_summary(found, device), "title"))
    lines += [*_sums(found.compared), ""]
    return "\n".join([*lines, page.paint(ESTIMATE, "quiet")]) + "\n"


def _memories(compared: Sequence[Compared], page: Page) -> list[str]:
    lines: list[str] = []
    for one in compared:
        demand, placement = one.view.demand, one.view.placement
        size = "shape unknown" if demand is None else shape(demand.depth, demand.width)
        blocks = placement.blocks if placement is not None else None
        tier = one.view.tier.name if one.view.tier else "no tier"
        ours = "?" if blocks is None else amount(blocks)
        built = ", ".join(f"{amount(count)} in {name}" for name, count in one.built)
        lines.append(one.view.memory.path)
        lines += page.block("", f"{size}: counted {ours} in {tier}, built {built}", indent=2)
        lines += page.block("", one.because, indent=4)
    return lines


def _left(found: Reconciliation, page: Page) -> list[str]:
    lines: list[str] = []
    for row, near in found.unmatched[:_MOST]:
        nearest = f"; the nearest are {', '.join(near)}" if near else ""
        lines += page.block("", f"no memory `{row.path}` (line {row.line} of the table){nearest}", indent=0)
    if len(found.unmatched) > _MOST:
        lines.append(f"and {plural(len(found.unmatched) - _MOST, 'row')} more without a memory")
    if found.unbuilt:
        names = ", ".join(view.memory.path for view in found.unbuilt[:_MOST])
        more = len(found.unbuilt) - _MOST
        lines += page.block(
            "", f"not in the table: {names}{f' and {more} more' if more > 0 else ''}", indent=0
        )
    for one in found.unused:
        lines += page.block(
            "",
            f"the accepted count of {one.memory} ({amount(one.blocks)} in {one.tier}) is not in the table: "
            "take it out of [[measured]] or correct it",
            indent=0,
        )
    return [*lines, ""] if lines else []


def _summary(found: Reconciliation, device: str) -> str:
    parts = [f"{len(found.of(verdict))} {word}" for verdict, word in (
        (Verdict.AGREES, "as counted"),
        (Verdict.EXPLAINED, "built another way"),
        (Verdict.ACCEPTED, "accepted"),
        (Verdict.OUTLIER, "unexplained"),
    )]  # fmt: skip
    return f"{plural(len(found.compared), 'memory', 'memories')} on device {device}: {', '.join(parts)}"


def _sums(compared: Sequence[Compared]) -> list[str]:
    built: dict[str, Fraction] = {}
    ours: dict[str, Fraction] = {}
    for one in compared:
        for tier, blocks in one.built:
            built[tier] = built.get(tier, Fraction(0)) + blocks
        placement = one.view.placement
        if one.view.tier is not None and placement is not None and placement.blocks is not None:
            ours[one.view.tier.name] = ours.get(one.view.tier.name, Fraction(0)) + placement.blocks
    none = Fraction(0)
    return [
        f"  {tier}: counted {amount(ours.get(tier, none))}, built {amount(built.get(tier, none))}"
        for tier in dict.fromkeys((*ours, *built))
    ]
