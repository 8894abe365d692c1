"""`memlint list` for people: two lines a memory, its path and what it is, then the totals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from memlint.design.memory import Clock, NotMemory
from memlint.engine.judgement import Judgement
from memlint.reports.page import Page, wrap
from memlint.reports.totals_text import ESTIMATE, totals
from memlint.rules.placed import why_no_tier
from memlint.rules.stated_ports import with_widths
from memlint.rules.view import MemoryView
from memlint.rules.wording import amount, percent, plural, ports, shape

HEAD = ("shape", "ports", "clocks", "read", "tier", "blocks", "full", "chain")
_RIGHT = frozenset((5, 6, 7))
_CLOCKS = 2
_LEAST_CLOCKS = 16
_READ = {"synchronous": "sync", "asynchronous": "async", "none": "none", None: "?"}
_LEGEND = {
    "*": "* assumed: neither an intent nor an attribute names a tier",
    "!": "! the tier does not take it as it is: `memlint check` says why",
    "?": "? unknown: `memlint explain` with the memory's path says why",
}


@dataclass(frozen=True, slots=True)
class Row:
    """A memory as it is shown: its path, a cell for each of `HEAD`, and what to say below it, if anything."""

    path: str
    cells: tuple[str, ...]
    below: str = ""


def list_text(
    judgement: Judgement, memories: Sequence[MemoryView], arrays: Sequence[NotMemory] | None, page: Page
) -> str:
    """The memories to show and, with `arrays`, those that are none. Ends in a line end."""
    rows = [memory_row(view) for view in memories]
    lines = _table(rows, page) if rows else ["No memories."]
    if not judgement.memories and arrays is None:
        lines += none_of(judgement, page)
    marks = [page.paint(text, "quiet") for text in legend(rows)]
    lines += ["", *marks, *([""] if marks else [])]
    if arrays is not None:
        lines += [*_arrays(judgement, arrays, page), ""]
    count = f"{plural(len(memories), 'memory', 'memories')} on device {judgement.device.name}"
    lines += [page.paint(count, "title"), ""]
    return "\n".join([*lines, *totals(judgement, page), page.paint(ESTIMATE, "quiet")]) + "\n"


def none_of(judgement: Judgement, page: Page) -> list[str]:
    """Where a design has no memory, what became of its arrays; empty if it has none either."""
    count = len(judgement.not_memories)
    if judgement.memories or not count:
        return []
    are = "array is none" if count == 1 else "arrays are none"
    return page.block("", f"{count:,} {are}: `memlint list --all` says why", indent=0)


def legend(rows: Sequence[Row]) -> list[str]:
    """What the marks in these rows mean."""
    marks = {mark for row in rows for cell in row.cells for mark in _LEGEND if mark in cell}
    return [text for mark, text in _LEGEND.items() if mark in marks]


def memory_row(view: MemoryView) -> Row:
    """How a memory is shown."""
    memory, placement = view.memory, view.placement
    mark = " *" if view.tier_from == "assumed" else ""
    mark += " !" if placement is not None and not placement.fits else ""
    blocks = placement.blocks if placement else None
    fill = placement.fill if placement else None
    is_registers = view.tier is not None and view.tier.role == "registers"
    return Row(
        memory.path,
        (
            _shape(view),
            _ports(view),
            _clocks(view),
            _READ[memory.read],
            "?" if view.tier is None else view.tier.name + mark,
            "?" if blocks is None else amount(blocks) + (" FF" if is_registers else ""),
            "-" if is_registers else "?" if fill is None else _short(percent(fill)),
            _chain(view),
        ),
        _unknown(view),
    )


def _unknown(view: MemoryView) -> str:
    """Why the shape, or the tier, of a memory is not known; empty when both are."""
    if view.memory.unresolved:
        return f"shape unknown: {view.memory.unresolved}"
    why = why_no_tier(view)
    return f"tier unknown: {why}" if why else ""


def _short(share: str) -> str:
    return share.replace("under ", "< ").replace("over ", "> ")


def _shape(view: MemoryView) -> str:
    memory = view.memory
    depth = "?" if memory.depth is None else f"{memory.depth:,}"
    width = "?" if memory.width is None else f"{memory.width:,}"
    known = memory.depth is not None and memory.width is not None
    text = shape(memory.depth or 0, memory.width or 0) if known else f"{depth} x {width}"
    return text if memory.banks == 1 else f"{text} in {memory.banks:,} banks"


def _ports(view: MemoryView) -> str:
    memory, demand = view.memory, view.demand
    if demand is not None and demand.write_width is not None:
        counts = (demand.writes, demand.reads, demand.readwrites)
        return with_widths(counts, demand.write_width, demand.read_width)
    w, r, rw = memory.count(True, False), memory.count(False, True), memory.count(True, True)
    return f"rom {r}r" if r and not w and not rw else ports(w, r, rw)


def _clocks(view: MemoryView) -> str:
    memory = view.memory
    root = memory.path.partition(".")[0] + "."
    names = [_clock(clock, root) for clock in memory.clocks]
    if not memory.clocks_known:
        names.append("?")
    return ", ".join(names) or "none"


def _clock(clock: Clock, root: str) -> str:
    return clock.net.removeprefix(root) + ("" if clock.edge == "rising" else f" {clock.edge}")


def _chain(view: MemoryView) -> str:
    tier, placement = view.tier, view.placement
    if tier is None or placement is None:
        return "?"
    if tier.chain is None and "chain" not in tier.unknown:
        return "-"
    if placement.chain is None:
        return "?"
    return f"{placement.chain}" + (f" in {placement.split}" if (placement.split or 1) > 1 else "")


def _table(rows: Sequence[Row], page: Page) -> list[str]:
    """Cells in columns below their memory's path; clocks wrap, or go below, where the page is too narrow."""
    cells = [HEAD, *(row.cells for row in rows)]
    widths = [max(len(row[at]) for row in cells) for at in range(len(HEAD))]
    others = sum(widths) - widths[_CLOCKS] + 2 * len(HEAD)
    widths[_CLOCKS] = min(widths[_CLOCKS], max(_LEAST_CLOCKS, page.width - others))
    lines = [page.paint(line, "quiet") for line in ("memory", *_cells(HEAD, widths))]
    for row in rows:
        clocks = row.cells[_CLOCKS]
        is_long = max(map(len, clocks.split(", "))) + 1 > widths[_CLOCKS] < len(clocks)
        shown = (*row.cells[:_CLOCKS], "see below", *row.cells[_CLOCKS + 1 :]) if is_long else row.cells
        lines += [page.paint(row.path, "title"), *_cells(shown, widths)]
        if is_long:
            lines += page.block("", f"clocks {clocks}", indent=4)
        if row.below:
            lines += page.block("", row.below, indent=4)
    return lines


def _cells(cells: Sequence[str], widths: Sequence[int]) -> list[str]:
    clocks = wrap(cells[_CLOCKS], widths[_CLOCKS])
    first = [*cells[:_CLOCKS], clocks[0], *cells[_CLOCKS + 1 :]]
    shown = [
        cell.rjust(width) if at in _RIGHT else cell.ljust(width)
        for at, (cell, width) in enumerate(zip(first, widths, strict=True))
    ]
    indent = 2 + sum(width + 2 for width in widths[:_CLOCKS])
    return [("  " + "  ".join(shown)).rstrip(), *(" " * indent + line for line in clocks[1:])]


def _arrays(judgement: Judgement, arrays: Sequence[NotMemory], page: Page) -> list[str]:
    lines = [page.paint("Arrays that are no memories", "title") if arrays else "Every array is a memory."]
    for one in arrays:
        place = page.place(one.span, judgement.sources)
        lines += page.block("", f"{one.path} ({place})", indent=0)
        lines += page.block("", one.reason, indent=4)
    return lines
