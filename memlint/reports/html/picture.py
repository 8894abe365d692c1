"""The picture of the device: each tier's supply to scale, and what of the design lies in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from memlint.device.facts import Tier
from memlint.engine.judgement import Judgement
from memlint.engine.totals import ExternalSum, TierSum, root_totals
from memlint.reports.html.columns import Column, Run, Standing, standing
from memlint.reports.html.figures import bits, counted, figure, share
from memlint.reports.html.markup import Markup, join, memory_link, name, tag
from memlint.rules.totals import below
from memlint.rules.view import MemoryView
from memlint.rules.wording import listed, plural

_WIDE = 1000.0
"""Units across a shelf; it is stretched to the page."""

_THIN = 1.5
_COLUMN = 92
_TALL = 300
_LETTER = 5.6


def device_of_root(judgement: Judgement, root: str, colours: Mapping[str, str]) -> Markup:
    """All tiers as this root fills them, and what is in no sum."""
    place = root_totals(judgement, root)
    sums = {one.tier: one for one in place.tiers}
    outside = {one.tier: one for one in place.outside}
    rows = []
    for tier in (*judgement.device.tiers, *judgement.device.on_chip()[-1:]):
        views = [
            view
            for view in judgement.memories
            if view.tier is not None and view.tier.name == tier.name and below(view.memory.path, root)
        ]
        if tier.role == "external":
            rows += [_off_chip(tier, outside[tier.name], views, colours)] if tier.name in outside else []
        elif tier.name in sums or tier.role != "registers":
            rows.append(_tier(tier, sums.get(tier.name), views, colours))
    return join(tag("ul", rows, class_="shelves"), _left_out(place.missing, place.homeless))


def _left_out(missing: Sequence[str], homeless: Sequence[str]) -> Markup | None:
    """What could not be counted, named."""
    said = []
    if missing:
        units = join([join(", " if at else None, name(unit)) for at, unit in enumerate(missing)])
        said.append(tag("p", "Not counted, units without source: ", units))
    if homeless:
        links = [
            join(", " if at else None, tag("a", name(path), href=memory_link(path)))
            for at, path in enumerate(homeless)
        ]
        said.append(tag("p", f"Not counted, {plural(len(homeless), 'memory', 'memories')} without a tier: ", links))
    return tag("div", said, class_="left-out") if said else None


def _tier(
    tier: Tier, sums: TierSum | None, views: Sequence[MemoryView], colours: Mapping[str, str]
) -> Markup:
    stands = standing(views, tier) if tier.columns else None
    picture = _columns(stands, tier) if stands else None
    return tag(
        "li",
        tag("div", _words(tier, sums), class_="words"),
        tag("div", _shelf(tier, sums, views), picture, class_="drawing"),
        class_=f"tier {colours.get(tier.name, '')}",
    )


def _words(tier: Tier, sums: TierSum | None) -> Markup:
    taken = Fraction(0) if sums is None else sums.blocks
    title = tag("h4", name(tier.name), tag("small", tier.title or tier.role))
    if tier.blocks is None:
        said = f"{counted(taken, tier.role)} taken; how many there are is unknown: the profile does not say"
    else:
        full = share(taken / tier.blocks) if tier.blocks else "of none"
        said = f"{figure(taken)} of {counted(tier.blocks, tier.role)}"
        title = join(title, tag("p", full, class_="big"))
    more = [tag("p", said)]
    if sums is not None:
        more.append(tag("p", plural(sums.memories, "memory", "memories"), class_="soft"))
        more += [tag("p", text, class_="soft") for text in _remarks(sums)]
    elif tier.blocks is not None:
        more.append(tag("p", "nothing lies here", class_="soft"))
    return join(title, *more)


def _remarks(sums: TierSum) -> list[str]:
    found = []
    if sums.fill is not None and sums.role != "registers":
        found.append(f"{share(sums.fill)} of the bits taken are used")
    if sums.uniform_blocks is not None and sums.uniform_blocks != sums.blocks:
        found.append(f"{figure(sums.uniform_blocks)} with one shape for all blocks of a memory")
    if sums.planned:
        found.append(f"{figure(sums.planned_blocks)} of them planned, without RTL yet")
    if sums.unknown:
        found.append(f"{plural(sums.unknown, 'memory', 'memories')} not counted: blocks unknown")
    return found


def _shelf(tier: Tier, sums: TierSum | None, views: Sequence[MemoryView]) -> Markup | None:
    """A bar as long as the supply, a piece for each memory; what is over the supply runs past its end."""
    taken = Fraction(0) if sums is None else sums.blocks
    supply = Fraction(tier.blocks) if tier.blocks is not None else taken
    whole = max(supply, taken)
    if not whole:
        return None
    pieces, small, at = [], Fraction(0), 0.0
    held = [(view, view.placement.blocks) for view in views if view.placement and view.placement.blocks]
    for view, blocks in sorted(held, key=lambda one: (-one[1], one[0].memory.path)):
        width = float(blocks / whole) * _WIDE
        if width < _THIN:
            small += blocks
            continue
        title = f"{view.memory.path}: {counted(blocks, tier.role)}"
        bar = tag("rect", x=at, y=0, width=width, height=26, class_="used")
        pieces.append(tag("a", tag("title", title), bar, href=memory_link(view.memory.path), tabindex=-1))
        at += width
    if small:
        title = f"small ones: {counted(small, tier.role)}"
        bar = tag("rect", x=at, y=0, width=float(small / whole) * _WIDE, height=26, class_="used")
        pieces.append(tag("g", tag("title", title), bar))
    end = float(supply / whole) * _WIDE
    over = None
    if taken > supply:
        over = tag("rect", x=end, y=0, width=_WIDE - end, height=26, class_="over")
    is_known = tier.blocks is not None
    label = f"{tier.name}: {counted(taken, tier.role)}" + (f" of {figure(supply)}" if is_known else "")
    return tag(
        "svg",
        tag("title", label),
        tag("rect", x=0, y=0, width=end, height=26, class_="supply"),
        pieces,
        over,
        viewBox=f"0 0 {_WIDE:g} 26",
        preserveAspectRatio="none",
        role="img",
        class_="shelf",
    )


def _columns(stands: Standing, tier: Tier) -> Markup:
    tallest = max(column.height for column in stands.columns)
    height = max(2.0, min(18.0, _TALL / tallest))
    drawn = [_column(column, at + 1, height, tallest) for at, column in enumerate(stands.columns)]
    fits = not stands.reason
    note = (
        "One arrangement of its chains into columns that fits; a build may choose another."
        if fits
        else f"Nothing is placed: {stands.reason}."
    )
    room = sum(column.height for column in stands.columns)
    if tier.blocks is not None and room != tier.blocks:
        note += f" The columns hold {figure(room)} of the {figure(tier.blocks)} blocks."
    if stands.uncounted:
        names = listed([view.memory.path for view in stands.uncounted[:5]])
        note += f" Not placed, as their blocks are unknown: {plural(len(stands.uncounted), 'memory', 'memories')} ({names})."
    words = None if fits else tag("ul", [_waiting(run) for run in stands.runs[:40]], class_="waiting")
    return join(
        tag("div", drawn, class_="columns"),
        tag("p", note, class_="soft" if fits else "alarm"),
        _column_table(stands) if fits else words,
    )


def _waiting(run: Run) -> Markup:
    times = f"{figure(run.times)} of " if run.times > 1 else ""
    path = run.view.memory.path
    return tag("li", f"{times}{plural(run.blocks, 'block')}: ", tag("a", name(path), href=memory_link(path)))


def _column(column: Column, number: int, height: float, tallest: int) -> Markup:
    """A column with its blocks, filled from the bottom."""
    tall = column.height * height
    top = (tallest - column.height) * height
    shapes: list[Markup] = [tag("rect", x=1, y=top + 1, width=_COLUMN - 2, height=tall, class_="supply")]
    bottom = top + tall + 1
    for at, run in enumerate(column.runs):
        high = run.blocks * height
        bottom -= high
        shapes.append(_run(run, bottom, high, at % 2))
    lines = "".join(f"M1 {top + 1 + at * height:.1f}h{_COLUMN - 2}" for at in range(1, column.height))
    if height >= 4:
        shapes.append(tag("path", d=lines, class_="grid"))
    full = column.height - column.free
    label = f"column {number}: {full} of {column.height} blocks taken"
    drawing = tag(
        "svg",
        tag("title", label),
        shapes,
        viewBox=f"0 0 {_COLUMN} {tallest * height + 2:g}",
        width=_COLUMN,
        height=f"{tallest * height + 2:g}",
        role="img",
    )
    return tag("figure", drawing, tag("figcaption", f"{full}/{column.height}"))


def _run(run: Run, y: float, high: float, odd: int) -> Markup:
    memory = run.view.memory
    how = f"{run.times} single blocks" if run.times > 1 else plural(run.blocks, "block")
    chain = "a chain of " if run.times == 1 and run.blocks > 1 else ""
    letters = int((_COLUMN - 12) / _LETTER)
    label = memory.name if len(memory.name) <= letters else memory.name[: letters - 1] + "…"
    gap = min(1.5, high / 4)
    return tag(
        "a",
        tag("title", f"{memory.path}: {chain}{how}"),
        tag("rect", x=3, y=y + gap, width=_COLUMN - 6, height=high - 2 * gap, rx=3, class_=f"run odd{odd}"),
        tag("text", label, x=8, y=y + high / 2 + 3.5) if high >= 13 else None,
        href=memory_link(memory.path),
        tabindex=-1,
    )


def _column_table(stands: Standing) -> Markup:
    rows = []
    for at, column in enumerate(stands.columns):
        held = [
            join(
                "; " if number else None,
                tag("a", name(run.view.memory.path), href=memory_link(run.view.memory.path)),
                f" ({figure(run.blocks)}{' single' if run.times > 1 else ''})",
            )
            for number, run in enumerate(column.runs)
        ]
        rows.append(
            tag(
                "tr",
                tag("th", str(at + 1), scope="row"),
                tag("td", figure(column.height - column.free), class_="number"),
                tag("td", figure(column.free), class_="number"),
                tag("td", held or "nothing"),
            )
        )
    head = tag("tr", [tag("th", text, scope="col", class_=kind) for text, kind in (
        ("Column", None), ("Taken", "number"), ("Free", "number"), ("From the bottom up", None))])  # fmt: skip
    table = tag("table", tag("thead", head), tag("tbody", rows), class_="plain")
    return tag("details", tag("summary", "Column by column"), tag("div", table, class_="scroll"))


def _off_chip(
    tier: Tier, sums: ExternalSum, views: Sequence[MemoryView], colours: Mapping[str, str]
) -> Markup:
    said = [tag("p", f"{bits(sums.bits)} for {plural(sums.memories, 'memory', 'memories')}")]
    if sums.unknown:
        said.append(tag("p", f"{plural(sums.unknown, 'memory', 'memories')} of unknown size", class_="alarm"))
    if sums.capacity_bits is None:
        said.append(tag("p", "capacity unknown: the profile does not say", class_="soft"))
    else:
        part = share(Fraction(sums.bits, sums.capacity_bits)) if sums.capacity_bits else "all"
        said.append(tag("p", f"{part} of {bits(sums.capacity_bits)}", class_="soft"))
    if sums.bandwidth_gbit_s is not None:
        peak = "unknown" if sums.peak_gbit_s is None else f"{float(sums.peak_gbit_s):,.1f} Gbit/s"
        said.append(
            tag("p", f"{sums.bandwidth_gbit_s:,g} Gbit/s there; an access a cycle on every port: {peak}", class_="soft")
        )
    links = [tag("li", tag("a", name(view.memory.path), href=memory_link(view.memory.path))) for view in views[:12]]
    more = tag("li", f"and {len(views) - 12} more") if len(views) > 12 else None
    return tag(
        "li",
        tag("div", tag("h4", name(tier.name), tag("small", tier.title or "off the chip")), said, class_="words"),
        tag("div", tag("ul", links, more, class_="waiting"), class_="drawing"),
        class_=f"tier {colours.get(tier.name, '')}",
    )
