"""The budgets on the page: what each unit may take, and what its instances do."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from memlint.engine.budgets import BudgetUse
from memlint.reports.html.figures import figure, share
from memlint.reports.html.markup import Markup, join, name, tag
from memlint.rules.wording import plural

_HEAD = (
    ("Unit", False),
    ("Instance", False),
    ("Tier", False),
    ("Takes", True),
    ("Budget", True),
    ("Full", True),
)


def budget_table(uses: Sequence[BudgetUse], colours: Mapping[str, str]) -> Markup | None:
    """A row for each unit and tier; of several instances the one that takes most."""
    groups: dict[tuple[str, str], list[BudgetUse]] = {}
    for one in uses:
        groups.setdefault((one.unit, one.tier), []).append(one)
    if not groups:
        return None
    head = [tag("th", text, scope="col", class_="number" if is_figure else None) for text, is_figure in _HEAD]
    rows = [_row(group, colours) for group in groups.values()]
    table = tag(
        "table",
        tag("caption", "Budgets", class_="hidden"),
        tag("thead", tag("tr", head)),
        tag("tbody", rows),
        class_="plain",
    )
    frame = tag("div", table, class_="scroll", tabindex=0, role="region", aria_label="Budgets")
    return join(tag("h3", "Budgets"), frame)


def _row(group: Sequence[BudgetUse], colours: Mapping[str, str]) -> Markup:
    most = max(group, key=lambda one: one.blocks - one.budget)
    more = len(group) - 1
    others = tag("small", f"and {plural(more, 'more instance')}, none of them fuller") if more else None
    unknown = plural(most.unknown, "memory", "memories")
    left = tag("small", f"{unknown} not counted") if most.unknown else None
    full = share(most.blocks / most.budget) if most.budget else "–"
    return tag(
        "tr",
        tag("th", name(most.unit), scope="row"),
        tag("td", name(most.path), others),
        tag("td", tag("span", most.tier, class_="tier-name")),
        tag("td", figure(most.blocks), left, class_="number"),
        tag("td", figure(most.budget), class_="number"),
        tag("td", full, class_="number alarm" if most.is_over else "number"),
        class_=colours.get(most.tier),
    )
