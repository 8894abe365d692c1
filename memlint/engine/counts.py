"""A table of built counts, read: CSV with a path, a tier and blocks in each row."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from memlint.device.facts import Device
from memlint.engine.settings import CountsFormat, ProjectError
from memlint.rules.near import by_likeness

# A count has few digits; an exponent could ask for a number that no memory holds.
_LONGEST = 30
_SEPARATORS = (",", ";", "\t")


@dataclass(frozen=True, slots=True)
class Counted:
    """One row: where it stands in the file, the path as written, our name of its tier, its blocks."""

    line: int
    path: str
    tier: str
    blocks: Fraction


def read_counts(text: str, shown: str, names: CountsFormat, device: Device) -> tuple[Counted, ...]:
    """The rows of a table, in order; empty rows are passed over.

    The first row holds the headings, in any order and among others. Raises ProjectError naming file, line
    and remedy for each row that cannot be read.
    """
    text = text.removeprefix("\ufeff")
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=_separator(text))
    try:
        listed = [(rows.line_num, [cell.strip() for cell in row]) for row in rows]
    except csv.Error as wrong:
        raise ProjectError(f"{shown}:{rows.line_num}: not a table: {wrong}. Export it as CSV.") from wrong
    listed = [(line, row) for line, row in listed if any(row)]
    if not listed:
        raise ProjectError(f"{shown}: The table is empty. Give one with columns path, tier and blocks.")
    line, head = listed[0]
    at = [_column(head, name, f"{shown}:{line}", key) for key, name in _headings(names)]
    found: list[Counted] = []
    wrong_rows: list[str] = []
    for line, row in listed[1:]:
        counted = _row(row, at, line, names, device)
        if isinstance(counted, str):
            wrong_rows.append(f"{shown}:{line}: {counted}")
        else:
            found.append(counted)
    if wrong_rows:
        raise ProjectError("\n".join(wrong_rows))
    return tuple(found)


def _separator(text: str) -> str:
    head = text.partition("\n")[0]
    return max(_SEPARATORS, key=head.count)


def _headings(names: CountsFormat) -> tuple[tuple[str, str], ...]:
    return ("path", names.path), ("tier", names.tier), ("blocks", names.blocks)


def _column(head: Sequence[str], name: str, place: str, key: str) -> int:
    lowered = [cell.lower() for cell in head]
    if name.lower() in lowered:
        return lowered.index(name.lower())
    there = ", ".join(f"`{cell}`" for cell in by_likeness(name, head) if cell)
    raise ProjectError(
        f"{place}: no column is headed `{name}`; there are {there}. Rename one, or say in memlint.toml: "
        f'[reconcile] {key} = "…"'
    )


def _row(
    row: Sequence[str], at: Sequence[int], line: int, names: CountsFormat, device: Device
) -> Counted | str:
    if len(row) <= max(at):
        return f"this row has {len(row)} cells, the headings need {max(at) + 1}. Complete it, or take it out."
    path, written, amount = (row[one] for one in at)
    tier = names.tiers.get(written, written)
    if device.tier(tier) is None:
        known = ", ".join(by_likeness(tier, [*(one.name for one in device.tiers), "registers"]))
        return (
            f"device {device.name} has no tier `{tier}`; there are {known}. Say in memlint.toml what it is: "
            f'[reconcile.tiers] "{written}" = "…"'
        )
    if not path:
        return "this row has no path. Complete it, or take it out."
    if len(amount) > _LONGEST or not amount.isascii() or "e" in amount.lower():
        return f"`{amount[:_LONGEST]}` is no number of blocks. Write one, such as 3 or 2.5."
    try:
        blocks = Fraction(amount)
    except (ValueError, ZeroDivisionError):
        return f"`{amount}` is no number of blocks. Write one, such as 3 or 2.5."
    if blocks < 0:
        return f"{amount} blocks are fewer than none. Correct the count."
    return Counted(line, path, tier, blocks)
