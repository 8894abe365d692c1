"""`memlint list` as tables for other programs and for reviews: CSV and Markdown."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from io import StringIO
from typing import Any

from memlint.design.memory import NotMemory
from memlint.engine.judgement import Judgement, TierTotal
from memlint.reports.json_output import array_json, memory_json
from memlint.reports.list_text import HEAD, legend, memory_row
from memlint.reports.totals_text import ESTIMATE
from memlint.rules.view import MemoryView
from memlint.rules.wording import amount, plural

COLUMNS = (
    "path",
    "unit",
    "name",
    "file",
    "line",
    "column",
    "depth",
    "width",
    "banks",
    "copies",
    "bits",
    "w",
    "r",
    "rw",
    "clocks",
    "read",
    "language",
    "tier",
    "tier_from",
    "blocks",
    "uniform_blocks",
    "fill",
    "chain",
    "chains",
    "split",
    "read_latency",
    "unresolved",
)
"""The columns of the CSV: the fields of the JSON, the ports in three, the clocks parted by blanks."""


def list_csv(
    judgement: Judgement, memories: Sequence[MemoryView], arrays: Sequence[NotMemory] | None = None
) -> str:
    """A row for each memory, an empty cell for what is unknown (RFC 4180, its line ends included).

    With `arrays` also a row for each of those, and a column `no_memory` with the reason.
    """
    out = StringIO()
    writer = csv.writer(out)
    extra = () if arrays is None else ("no_memory",)
    writer.writerow((*COLUMNS, *extra))
    for view in memories:
        row = memory_json(view, judgement.sources)
        ports, clocks = row["ports"], row["clocks"]
        row |= ports | {"clocks": None if clocks is None else " ".join(clocks)}
        writer.writerow(_cells(row, extra))
    for one in arrays or ():
        row = array_json(one, judgement.sources)
        writer.writerow(_cells(row | {"no_memory": row["reason"]}, extra))
    return out.getvalue()


def _cells(row: Mapping[str, Any], extra: Sequence[str]) -> list[Any]:
    return [row.get(column) for column in (*COLUMNS, *extra)]


def list_markdown(
    judgement: Judgement, memories: Sequence[MemoryView], arrays: Sequence[NotMemory] | None = None
) -> str:
    """The list as tables fit for a merge request comment. Ends in a line end."""
    lines = [f"{plural(len(memories), 'memory', 'memories')} on device {judgement.device.name}", ""]
    if memories:
        rows = [memory_row(view) for view in memories]
        lines += _table(("memory", *HEAD), [(f"`{row.path}`", *row.cells) for row in rows])
        lines += [f"{_safe(text)}\n" for text in legend(rows)]
        lines += [f"`{row.path}`: {_safe(row.below)}\n" for row in rows if row.below]
    if arrays:
        lines += _table(("array that is no memory", "why"), [(f"`{one.path}`", one.reason) for one in arrays])
    taken: dict[str, list[TierTotal]] = {}
    for one in judgement.totals:
        if one.memories:
            taken.setdefault(one.root, []).append(one)
    for root, totals in sorted(taken.items()):
        cells = [
            (one.tier, amount(one.blocks), "?" if one.available is None else amount(one.available))
            for one in totals
        ]
        lines += [f"Taken by `{root}`:", "", *_table(("tier", "blocks", "available"), cells)]
    return "\n".join([*lines, ESTIMATE, ""])


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    lines = [_line(head), _line(["---"] * len(head)), *(_line([_safe(cell) for cell in row]) for row in rows)]
    return [*lines, ""]


def _line(cells: Sequence[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _safe(text: str) -> str:
    """Text that Markdown takes as it is; code spans keep what is in them."""
    escaped = text.replace("|", "\\|").replace("\n", " ")
    return escaped if escaped.startswith("`") else escaped.replace("*", "\\*").replace("<", "&lt;")
