"""The parts of the page that need no script."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from memlint.engine.differences.changes import Comparison
from memlint.engine.judgement import Judgement
from memlint.reports.html.figures import bits, counted, figure, share
from memlint.reports.html.markup import Markup, join, memory_link, name, tag
from memlint.reports.html.picture import device_of_root
from memlint.reports.html.usage import Waste, waste_ranking
from memlint.rules.finding import Finding, Severity
from memlint.rules.view import MemoryView
from memlint.rules.wording import plural

_MOST_OPEN = 3
_MOST_WASTE = 20


def section(key: str, title: str, lead: str, *children: Markup | str | None) -> Markup:
    """A part of the page with a heading that links can reach."""
    return tag(
        "section",
        tag("h2", title),
        tag("p", lead, class_="lead") if lead else None,
        children,
        id=key,
    )


def summary(
    judgement: Judgement,
    memories: Sequence[MemoryView],
    findings: Sequence[Finding],
    accepted: int,
    comparison: Comparison | None = None,
) -> Markup:
    """The counts everybody asks for first."""
    unknown = sum(view.memory.bits is None for view in memories)
    planned = sum(view.memory.planned for view in memories)
    whole = len(judgement.memories)
    items = [_tile("", figure(len(memories)), "memory" if len(memories) == 1 else "memories", "#memories")]
    if len(memories) != whole:
        items[0] = _tile("", f"{figure(len(memories))} of {figure(whole)}", "memories shown", "#memories")
    for severity in reversed(Severity):
        count = sum(one.severity == severity for one in findings)
        noun = f"{severity}{'' if count == 1 else 's'}"
        items.append(_tile(str(severity) if count else "", figure(count), noun, "#findings"))
    if accepted:
        items.append(_tile("", figure(accepted), "accepted", "#findings"))
    if unknown:
        items.append(_tile("warning", figure(unknown), "of unknown shape", "#show=unknown"))
    if planned:
        items.append(_tile("", figure(planned), "planned, without RTL", "#memories"))
    if judgement.missing:
        count = len(judgement.missing)
        units = "unit" if count == 1 else "units"
        items.append(_tile("warning", figure(count), f"{units} without source", "#device"))
    if comparison is not None:
        changed, fresh = len(comparison.memories), len(comparison.new_findings)
        what = "memory changed" if changed == 1 else "memories changed"
        items.append(_tile("", figure(changed), what, "#changes"))
        items.append(_tile("", figure(fresh), "new finding" if fresh == 1 else "new findings", "#changes"))
    return tag("ul", items, class_="tiles")


def _tile(kind: str, value: str, text: str, href: str) -> Markup:
    return tag("li", tag("a", tag("b", value), tag("span", text), href=href), class_=kind or None)


def device_section(judgement: Judgement, colours: Mapping[str, str]) -> Markup:
    """The device's picture, once for each root."""
    roots = sorted(judgement.roots)
    lead = (
        "Each bar is a tier's whole supply, each piece of it one memory. Columns stand as many blocks tall "
        "as chains can pass without a break."
    )
    if not roots:
        return section("device", "Device", lead, tag("p", "The design has no root.", class_="soft"))
    if len(roots) == 1:
        return section("device", "Device", lead, device_of_root(judgement, roots[0], colours))
    parts = [
        tag(
            "details",
            tag("summary", tag("h3", name(root))),
            device_of_root(judgement, root, colours),
            open=at < _MOST_OPEN,
            class_="root",
        )
        for at, root in enumerate(roots)
    ]
    several = f"The design has {len(roots)} roots; each is shown on a device of its own."
    return section("device", "Device", f"{lead} {several}", *parts)


def waste_section(memories: Sequence[MemoryView], colours: Mapping[str, str]) -> Markup:
    """Declarations by the bits they take and do not use."""
    ranking = waste_ranking(memories)
    lead = (
        "Bits taken less bits used, largest first, all instances of a declaration together. Copies and check "
        "bits count as used."
    )
    if not ranking:
        return section("waste", "Waste", lead, tag("p", "No known bit is wasted.", class_="soft"))
    whole = sum((one.usage.wasted for one in ranking), Fraction(0))
    head = [("Memory", None), ("Tier", None), ("Blocks", "number"), ("Taken", "number"), ("Used", "number"),
            ("Wasted", "number"), ("Of all waste", None)]  # fmt: skip
    rows = [_waste_row(one, whole, colours) for one in ranking[:_MOST_WASTE]]
    table = tag(
        "table",
        tag("caption", "Bits", class_="hidden"),
        tag("thead", tag("tr", [tag("th", text, scope="col", class_=kind) for text, kind in head])),
        tag("tbody", rows),
        class_="plain waste",
    )
    rest = ranking[_MOST_WASTE:]
    left = sum((one.usage.wasted for one in rest), Fraction(0))
    more = (
        tag("p", f"{plural(len(rest), 'more declaration')} together waste {bits(left)}.", class_="soft")
        if rest
        else None
    )
    return section(
        "waste",
        "Waste",
        lead,
        tag("p", f"{bits(whole)} in all.", class_="soft"),
        tag("div", table, class_="scroll", tabindex=0, role="region", aria_label="Waste ranking"),
        more,
    )


def _waste_row(one: Waste, whole: Fraction, colours: Mapping[str, str]) -> Markup:
    first = one.views[0].memory
    more = len(one.views) - 1
    like = tag("small", f" and {figure(more)} more of this declaration") if more else None
    part = one.usage.wasted / whole
    bar = tag(
        "svg",
        tag("rect", x=0, y=0, width=100, height=8, class_="supply"),
        tag("rect", x=0, y=0, width=float(part * 100), height=8, class_="used"),
        viewBox="0 0 100 8",
        preserveAspectRatio="none",
        aria_hidden="true",
        class_="meter",
    )
    role = one.views[0].tier.role if one.views[0].tier else ""
    return tag(
        "tr",
        tag("th", tag("a", name(first.path), href=memory_link(first.path)), like, scope="row"),
        tag("td", tag("span", one.tier, class_="tier-name")),
        tag("td", figure(one.blocks), class_="number", title=counted(one.blocks, role)),
        tag("td", figure(one.usage.taken), class_="number"),
        tag("td", figure(one.usage.used), class_="number"),
        tag("td", tag("b", figure(one.usage.wasted)), class_="number"),
        tag("td", bar, tag("span", share(part))),
        class_=colours.get(one.tier),
    )


def note(*children: Markup | str) -> Markup:
    """A remark about the whole page."""
    return tag("p", join(*children), class_="notice")
