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
_MOST_NAMED = 12
_COLUMN = 104
_TALL = 300
_LETTER = 6.3


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
            kept = judgement.reserve.get(tier.name, Fraction(0))
            rows.append(_tier(tier, sums.get(tier.name), views, colours, kept))
    return join(
        tag("ul", rows, class_="shelves"),
        _left_out(place.missing, place.homeless),
        _black_boxes(place.black_boxes),
    )


def _black_boxes(units: Sequence[str]) -> Markup | None:
    """Units that are counted without having been read, named."""
    return (
        tag("p", "Counted as memlint.toml describes them, without source: ", _units(units)) if units else None
    )


def _units(units: Sequence[str]) -> Markup:
    return join([join(", " if at else None, name(unit)) for at, unit in enumerate(units)])


def _left_out(missing: Sequence[str], homeless: Sequence[str]) -> Markup | None:
    """What could not be counted, named."""
    said = []
    if missing:
        said.append(tag("p", "Not counted, units without source: ", _units(missing)))
    if homeless:
        links = [
            join(", " if at else None, tag("a", name(path), href=memory_link(path)))
            for at, path in enumerate(homeless)
        ]
        count = plural(len(homeless), "memory", "memories")
        said.append(tag("p", f"Not counted, {count} without a tier: ", links))
    return tag("div", said, class_="left-out") if said else None


def _tier(
    tier: Tier,
    sums: TierSum | None,
    views: Sequence[MemoryView],
    colours: Mapping[str, str],
    kept: Fraction,
) -> Markup:
    """A tier; `kept` blocks of it are reserved."""
    stands = standing(views, tier) if tier.columns and views else None
    picture = _columns(stands, tier) if stands else None
    facts = tag("ul", [tag("li", text) for text in _facts(tier, sums, kept)], class_="facts")
    return tag(
        "li",
        tag("div", _title(tier, sums, kept), class_="words"),
        tag("div", _shelf(tier, sums, views, kept), facts, picture, class_="drawing"),
        class_=f"tier {colours.get(tier.name, '')}",
    )


def _title(tier: Tier, sums: TierSum | None, kept: Fraction) -> Markup:
    title = tag("h4", name(tier.name), tag("small", tier.title or tier.role))
    if not tier.blocks:
        return title
    taken = Fraction(0) if sums is None else sums.blocks
    is_over = taken > _supply(tier.blocks, kept)
    return join(title, tag("p", share(taken / tier.blocks), class_="big alarm" if is_over else "big"))


def _supply(blocks: int, kept: Fraction) -> Fraction:
    """What may be taken, as the rule `device-over-budget` reckons it."""
    return max(Fraction(0), blocks - kept)


def _facts(tier: Tier, sums: TierSum | None, kept: Fraction) -> list[str]:
    """The tier in numbers, the blocks first."""
    taken = Fraction(0) if sums is None else sums.blocks
    if tier.blocks is None:
        return [
            f"{counted(taken, tier.role)} taken",
            "how many there are is unknown: the profile does not say",
            *(_remarks(sums) if sums else ()),
        ]
    supply = _supply(tier.blocks, kept)
    over = f", {figure(taken - supply)} too many" if taken > supply else ""
    return [
        f"{figure(taken)} of {counted(tier.blocks, tier.role)}{over}",
        *([f"{counted(kept, tier.role)} reserved"] if kept else []),
        *(_remarks(sums) if sums else ["nothing lies here"]),
    ]


def _remarks(sums: TierSum) -> list[str]:
    found = [plural(sums.memories, "memory", "memories")]
    if sums.fill is not None and sums.role != "registers":
        found.append(f"{share(sums.fill)} of the bits taken are used")
    if sums.uniform_blocks is not None and sums.uniform_blocks != sums.blocks:
        found.append(f"{figure(sums.uniform_blocks)} with one shape for all blocks of a memory")
    if sums.planned:
        blocks = counted(sums.planned_blocks, sums.role)
        found.append(f"{blocks} of {plural(sums.planned, 'memory', 'memories')} planned, without RTL yet")
    if sums.unknown:
        found.append(f"{plural(sums.unknown, 'memory', 'memories')} not counted: blocks unknown")
    return found


def _shelf(tier: Tier, sums: TierSum | None, views: Sequence[MemoryView], kept: Fraction) -> Markup | None:
    """A bar as long as the supply, a piece for each memory; what is over the supply runs past its end."""
    if tier.blocks is None:
        return None
    taken, supply = Fraction(0) if sums is None else sums.blocks, Fraction(tier.blocks)
    whole = max(supply, taken)
    if not whole:
        return None
    pieces: list[Markup] = []
    lines: list[str] = []
    at = 0.0
    held = [(view, view.placement.blocks) for view in views if view.placement and view.placement.blocks]
    for view, blocks in sorted(held, key=lambda one: (-one[1], one[0].memory.path)):
        width = float(blocks / whole) * _WIDE
        if width < _THIN:
            break
        title = f"{view.memory.path}: {counted(blocks, tier.role)}"
        bar = tag("rect", x=at, y=0, width=width, height=26, class_="used")
        pieces.append(tag("a", tag("title", title), bar, href=memory_link(view.memory.path), tabindex=-1))
        at += width
        lines.append(f"M{at:.1f} 0v26")
    end, full = float(supply / whole) * _WIDE, float(taken / whole) * _WIDE
    if full > at:
        left = tag("rect", x=at, y=0, width=full - at, height=26, class_="used")
        pieces.append(tag("g", tag("title", f"{len(held) - len(pieces):,} small ones"), left))
    over = tag("rect", x=end, y=0, width=_WIDE - end, height=26, class_="over") if taken > supply else None
    free = float(_supply(tier.blocks, kept) / whole) * _WIDE
    reserved = tag("rect", x=free, y=0, width=end - free, height=26, class_="reserved") if kept else None
    return tag(
        "svg",
        tag("title", f"{tier.name}: {figure(taken)} of {counted(supply, tier.role)}"),
        tag("rect", x=0, y=0, width=end, height=26, class_="supply"),
        pieces,
        tag("path", d="".join(lines)) if lines else None,
        reserved,
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
        count = plural(len(stands.uncounted), "memory", "memories")
        note += f" Not placed, as their blocks or chains are unknown: {count} ({names})."
    return join(
        tag("div", drawn, class_="columns"),
        tag("p", note, class_="soft" if fits else "alarm"),
        _column_table(stands) if fits else _all_waiting(stands.runs),
    )


def _all_waiting(runs: Sequence[Run]) -> Markup:
    """What found no column, longest chains first."""
    items = [_waiting(run) for run in sorted(runs, key=lambda run: (-run.blocks, run.view.memory.path))]
    rest = items[_MOST_NAMED:]
    more = tag("details", tag("summary", f"and {len(rest):,} more"), tag("ul", rest, class_="waiting"))
    return join(tag("ul", items[:_MOST_NAMED], class_="waiting"), more if rest else None)


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
    if height >= 4:
        ticks = "".join(f"M{_COLUMN - 8} {top + 1 + at * height:.1f}h7" for at in range(1, column.height))
        shapes.append(tag("path", d=ticks, class_="grid"))
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
    letters = int((_COLUMN - 18) / _LETTER)
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
    heads = (("Column", None), ("Taken", "number"), ("Free", "number"), ("From the bottom up", None))
    head = tag("tr", [tag("th", text, scope="col", class_=kind) for text, kind in heads])
    table = tag("table", tag("thead", head), tag("tbody", rows), class_="plain")
    return tag("details", tag("summary", "Column by column"), tag("div", table, class_="scroll"))


def _off_chip(
    tier: Tier, sums: ExternalSum, views: Sequence[MemoryView], colours: Mapping[str, str]
) -> Markup:
    facts = [f"{bits(sums.bits)} for {plural(sums.memories, 'memory', 'memories')}"]
    if sums.unknown:
        facts.append(f"{plural(sums.unknown, 'memory', 'memories')} of unknown size, not counted")
    if sums.capacity_bits:
        facts.append(f"{share(Fraction(sums.bits, sums.capacity_bits))} of {bits(sums.capacity_bits)}")
    else:
        facts.append("capacity unknown: the profile does not say")
    if sums.bandwidth_gbit_s is not None:
        peak = "unknown" if sums.peak_gbit_s is None else f"{float(sums.peak_gbit_s):,.1f} Gbit/s"
        facts.append(f"{sums.bandwidth_gbit_s:,g} Gbit/s there; an access a cycle on every port: {peak}")
    links = [
        tag("li", tag("a", name(view.memory.path), href=memory_link(view.memory.path)))
        for view in views[:_MOST_NAMED]
    ]
    more = tag("li", f"and {len(views) - _MOST_NAMED:,} more") if len(views) > _MOST_NAMED else None
    title = tag("h4", name(tier.name), tag("small", tier.title or "off the chip"))
    said = tag("ul", [tag("li", text) for text in facts], class_="facts")
    return tag(
        "li",
        tag("div", title, class_="words"),
        tag("div", said, tag("ul", links, more, class_="waiting"), class_="drawing"),
        class_=f"tier {colours.get(tier.name, '')}",
    )
