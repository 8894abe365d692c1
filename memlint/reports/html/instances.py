"""What every instance takes of each tier, with everything below it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from memlint.engine.judgement import Judgement
from memlint.engine.totals import Place, TierSum, instance_totals
from memlint.reports.html.figures import figure
from memlint.reports.html.markup import Markup, join, name, tag
from memlint.rules.wording import plural

_MOST = 400
"""Instances that are listed; `memlint plan --format json` has all."""


def instance_table(judgement: Judgement, colours: Mapping[str, str]) -> Markup | None:
    """A row for each instance with a memory in it or below, folded away; None where there is none."""
    places = [one for one in instance_totals(judgement) if one.tiers]
    if not places:
        return None
    taken = {one.tier for place in places for one in place.tiers}
    tiers = [tier.name for tier in judgement.device.on_chip() if tier.name in taken]
    marks = [tag("span", tier, class_=f"tier-name {colours.get(tier, '')}") for tier in tiers]
    heads = [
        *(tag("th", text, scope="col") for text in ("Instance", "Unit")),
        *(tag("th", mark, scope="col", class_="number") for mark in marks),
    ]
    table = tag(
        "table",
        tag("caption", "Blocks by instance", class_="hidden"),
        tag("thead", tag("tr", heads)),
        tag("tbody", [_row(one, tiers) for one in places[:_MOST]]),
        class_="plain",
    )
    left = len(places) - _MOST
    more = f"{plural(left, 'more instance')}: `memlint plan --format json` has all." if left > 0 else None
    return tag(
        "details",
        tag("summary", f"The numbers of {plural(len(places), 'instance')}"),
        tag("p", "Blocks with everything below; of registers, flip-flops.", class_="soft"),
        tag("div", table, class_="scroll", tabindex=0, role="region", aria_label="Blocks by instance"),
        tag("p", more, class_="soft") if more else None,
    )


def _row(place: Place, tiers: Sequence[str]) -> Markup:
    sums = {one.tier: one for one in place.tiers}
    without = [
        tag("small", text, join([join(", " if at else None, name(one)) for at, one in enumerate(units)]))
        for text, units in (
            ("not counted, without source: ", place.missing),
            ("black boxes: ", place.black_boxes),
        )
        if units
    ]
    if place.homeless:
        count = plural(len(place.homeless), "memory", "memories")
        without.append(tag("small", f"not counted, without a tier: {count}"))
    return tag(
        "tr",
        tag("th", name(place.path), without, scope="row"),
        tag("td", name(place.unit)),
        [tag("td", _amount(sums.get(tier)), class_="number") for tier in tiers],
    )


def _amount(one: TierSum | None) -> Markup | None:
    if one is None:
        return None
    said = []
    if one.planned_blocks:
        said.append(tag("small", f"{figure(one.planned_blocks)} planned"))
    if one.unknown:
        said.append(tag("small", f"{plural(one.unknown, 'memory', 'memories')} not counted"))
    return join(figure(one.blocks), said)
