"""`memlint plan` for people: what fits, what lies where and why, or the conflict."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from memlint.engine.budgets import BudgetUse
from memlint.engine.plan_words import cost_words
from memlint.engine.planning import Assigned, DevicePlan, Filling, Scenario
from memlint.engine.totals import ExternalSum, TierSum
from memlint.reports.page import Page
from memlint.reports.totals_text import ESTIMATE
from memlint.rules.wording import amount, bits, listed, percent, plural, quoted, shape
from memlint.text.order import by_number

_HEAD = ("tier", "blocks", "available", "full")
_UNITS = 12
_COST = (
    "Cost, most important first: shares of the tiers' blocks, chains cut, cycles of read latency, power; "
    "what is not known counts nothing. Chains are cut in pieces of nearly one length."
)


def plan_text(scenarios: Sequence[Scenario], shown: Callable[[str], bool], page: Page) -> str:
    """One plan with every memory; of several a table first, then each in short. Ends in a line end."""
    lines: list[str] = []
    if len(scenarios) > 1:
        lines += [*_side_by_side(scenarios, page), ""]
    for one in scenarios:
        lines += [*_scenario(one, len(scenarios) > 1, shown, page), ""]
    lines += page.block("", _COST, indent=0)
    return "\n".join([*lines, page.paint(ESTIMATE, "quiet")]) + "\n"


def _side_by_side(scenarios: Sequence[Scenario], page: Page) -> list[str]:
    tiers = list(dict.fromkeys(one.tier for each in scenarios for one in _counted(each.plan)))
    rows = [("", "device", "plan", *tiers, "cost")]
    for each in scenarios:
        full = {one.tier: _full(one) for one in _counted(each.plan)}
        plan = each.plan.plan
        cost = "-" if plan is None else f"{float(plan.cost.share):.3f}"
        rows.append(
            (
                each.title,
                each.plan.device.name,
                _verdict(each.plan),
                *(full.get(one, "-") for one in tiers),
                cost,
            )
        )
    return _table(rows, page, right_from=3)


def _verdict(plan: DevicePlan) -> str:
    if plan.plan is None:
        return "none" if plan.proven else "not found"
    if plan.fits is None:
        return "fit unknown"
    if plan.plan.optimal:
        return "optimal"
    return f"within {_gap(plan.plan.gap)}"


def _gap(gap: Fraction) -> str:
    hundredths = -(-gap * 10000 // 1)
    return f"{int(hundredths) / 100:g} %"


def _counted(plan: DevicePlan) -> list[Filling]:
    return [one for one in plan.fillings if one.role not in ("registers", "external")]


def _full(one: Filling) -> str:
    return "?" if not one.available else percent(one.taken / one.available)


def _table(rows: Sequence[Sequence[str]], page: Page, right_from: int) -> list[str]:
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
    lines = []
    for number, row in enumerate(rows):
        cells = [
            cell.rjust(width) if at >= right_from else cell.ljust(width)
            for at, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        text = "  " + "  ".join(cells).rstrip()
        lines.append(page.paint(text, "quiet") if number == 0 else text)
    return lines


def _scenario(one: Scenario, several: bool, shown: Callable[[str], bool], page: Page) -> list[str]:
    plan = one.plan
    title = (
        f"{one.title}: {plan.root} on {plan.device.name}" if several else f"{plan.root} on {plan.device.name}"
    )
    lines = [page.paint(title, "title"), *page.block("", _summary(plan), indent=2)]
    lines += page.items("", plan.conflict, indent=2)
    if plan.plan is not None:
        lines += ["", *_tiers(plan, page), *_columns(plan, page)]
        if not several:
            lines += ["", *_memories(plan, shown, page), "", *_units(one, page)]
    for path, why in plan.left_out:
        lines += page.block("", f"not counted: {path}: {why}", indent=2)
    if plan.missing:
        units = listed(map(quoted, plan.missing))
        lines += page.block("", f"not counted: units without source, {units}", indent=2)
    if plan.black_boxes:
        boxes = listed(map(quoted, plan.black_boxes))
        lines += page.block("", f"counted as memlint.toml describes them: black boxes, {boxes}", indent=2)
    return lines


def _summary(plan: DevicePlan) -> str:
    if plan.plan is None:
        return "No plan fits." if plan.proven else "No plan was found."
    free = [one for one in plan.memories if not one.fixed]
    moved = sum(one.moved for one in free)
    cuts = plan.plan.cost.cuts
    proof = (
        "no plan costs less"
        if plan.plan.optimal
        else f"no plan takes {_gap(plan.plan.gap)} less of the device's blocks"
    )
    return (
        f"{_fits(plan)}; {proof}. Of {plural(len(plan.memories), 'memory', 'memories')} {len(free)} "
        f"{'was' if len(free) == 1 else 'were'} free to be placed, {moved} "
        f"{'goes' if moved == 1 else 'go'} elsewhere than now"
        + (f"; chains are cut {plural(cuts, 'time')}" if cuts else "")
        + "."
        + _but(plan)
    )


def _but(plan: DevicePlan) -> str:
    """What a plan that fits does not promise."""
    said = ""
    if plan.misplaced:
        count = plural(len(plan.misplaced), "memory", "memories")
        said += f" On a tier that does not take it as it is: {count}."
    if plan.missing:
        said += " What units without source need is not counted."
    return said


def _fits(plan: DevicePlan) -> str:
    if not plan.open_tiers:
        left = plural(len(plan.left_out), "memory", "memories")
        return f"Whether it fits is open: {left} could not be counted" if plan.left_out else "It fits"
    tiers = listed(f"`{tier}`" for tier in plan.open_tiers)
    return f"Whether it fits is open: the profile does not say how much {tiers} there is"


def _tiers(plan: DevicePlan, page: Page) -> list[str]:
    """What is taken of each tier; a column more where the project reserves blocks."""
    rows: list[Sequence[str]] = [_HEAD]
    for one in plan.fillings:
        if one.role == "external":
            there = "unknown" if one.available is None else bits(int(one.available))
            rows.append((one.tier, bits(int(one.taken)), there, _full(one)))
        elif one.role == "registers":
            rows.append((one.tier, plural(one.taken, "flip-flop"), "unknown", ""))
        else:
            there = "unknown" if one.available is None else amount(one.available)
            rows.append((one.tier, amount(one.taken), there, _full(one)))
    if any(map(_reserved, plan.fillings)):
        kept = ["reserved", *(amount(count) if (count := _reserved(one)) else "" for one in plan.fillings)]
        rows = [(*row, cell) for row, cell in zip(rows, kept, strict=True)]
    return _table(rows, page, right_from=1)


def _reserved(one: Filling) -> Fraction:
    return Fraction(0) if one.available is None or one.supply is None else one.available - one.supply


def _columns(plan: DevicePlan, page: Page) -> list[str]:
    lines: list[str] = []
    for one in plan.fillings:
        held = [chains for _, chains in one.columns if chains]
        if not held:
            continue
        shown = "; ".join(" + ".join(map(str, sorted(chains, reverse=True))) for chains in held)
        heights = sorted({height for height, _ in one.columns}, reverse=True)
        lines += page.block(
            "",
            f"chains in {plural(len(one.columns), 'column')} of {one.tier}, "
            f"{listed(map(str, heights), 'or')} blocks each: {shown}",
            indent=2,
        )
    return lines


def _memories(plan: DevicePlan, shown: Callable[[str], bool], page: Page) -> list[str]:
    lines: list[str] = []
    listed_ones = [one for one in plan.memories if shown(one.view.memory.span.file)]
    for one in sorted(listed_ones, key=lambda each: (bool(each.fixed), by_number(each.view.memory.path))):
        lines.append(page.paint(one.view.memory.path, "title"))
        because = f"; {one.why[0]}" if one.fixed and len(one.why) == 1 else ""
        lines += page.block("", f"{_line(one, plan)}{because}", indent=2)
        lines += page.items("", () if because else one.why, indent=4)
    return lines or ["No memories."]


def _line(one: Assigned, plan: DevicePlan) -> str:
    demand = one.view.demand
    size = "" if demand is None else shape(demand.depth, demand.width)
    banks = f" in {demand.banks:,} banks" if demand is not None and demand.banks > 1 else ""
    now = "" if not one.moved else f", now in {one.view.tier.name}" if one.view.tier else ", now nowhere"
    memory = one.view.memory
    planned = ", planned" if memory.planned else ", black box" if memory.black_box else ""
    return f"{size}{banks}{planned}: {cost_words(one.choice, plan.device)}{now}"


def _units(one: Scenario, page: Page) -> list[str]:
    rows = [("unit", "instances", "takes, with everything below")]
    rows += [(unit.unit, amount(unit.instances), _sums(unit.tiers)) for unit in one.units[:_UNITS]]
    more = len(one.units) - _UNITS
    lines = [page.paint("Where the blocks go", "title")]
    widths = [max(len(row[at]) for row in rows) for at in range(2)]
    for number, row in enumerate(rows):
        head = f"  {row[0].ljust(widths[0])}  {row[1].rjust(widths[1])}  "
        wrapped = page.block("", row[2], indent=0, first=head)
        lines += [page.paint(line, "quiet") for line in wrapped] if number == 0 else wrapped
    if more > 0:
        lines.append(f"  and {plural(more, 'unit')} more")
    lines += _budgets(one.budgets, page)
    for place in one.places:
        if place.path == one.plan.root:
            lines += [line for each in place.outside for line in page.block("", _rate(each), indent=2)]
    return lines


def _budgets(uses: Sequence[BudgetUse], page: Page) -> list[str]:
    """Of all instances of a unit the one that takes most."""
    groups: dict[tuple[str, str], list[BudgetUse]] = {}
    for one in uses:
        groups.setdefault((one.unit, one.tier), []).append(one)
    if not groups:
        return []
    rows: list[Sequence[str]] = [("unit", "tier", "takes", "budget", "full")]
    for group in groups.values():
        most = max(group, key=lambda one: one.blocks)
        full = percent(most.blocks / most.budget) if most.budget else ""
        rows.append((most.unit, most.tier, amount(most.blocks), amount(most.budget), full))
    return ["", page.paint("Budgets, of each unit the instance that takes most", "title"),
            *_table(rows, page, right_from=2)]  # fmt: skip


def _rate(one: ExternalSum) -> str:
    there = "unknown" if one.bandwidth_gbit_s is None else f"{one.bandwidth_gbit_s:g} Gbit/s"
    most = "unknown" if one.peak_gbit_s is None else f"{float(one.peak_gbit_s):g} Gbit/s"
    return (
        f"{one.tier}: {most} if every port is used every cycle, its bandwidth is {there}; "
        f"{plural(one.memories, 'memory', 'memories')}"
    )


def _sums(tiers: Sequence[TierSum]) -> str:
    parts = [
        f"{amount(one.blocks)} {'flip-flops' if one.role == 'registers' else f'of {one.tier}'}"
        for one in tiers
    ]
    return listed(parts) or "nothing on chip"
