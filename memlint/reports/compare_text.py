"""`memlint compare` for people: each memory that changed and why, blocks, findings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from memlint.engine.differences.changes import BlockChange, Cause, Comparison
from memlint.engine.sides import Side
from memlint.reports import compare_words as words
from memlint.reports.page import Page
from memlint.reports.totals_text import ESTIMATE
from memlint.rules.finding import Finding
from memlint.rules.wording import amount, listed

_INDENT = 12
_MOST_PATHS = 3
_HEAD = ("tier", "before", "after", "change", "available")


def compare_text(comparison: Comparison, page: Page) -> str:
    """The comparison. Ends in a line end."""
    old, new = words.side_name(comparison.old), words.side_name(comparison.new)
    sentence = words.headline(comparison)
    lines = page.block("", f"{old} → {new}", indent=0)
    lines += [
        page.paint(line, "title") for line in page.block("", sentence[0].upper() + sentence[1:], indent=0)
    ]
    for note in words.notes(comparison):
        lines += page.block("note", note, indent=_INDENT, role="note")
    for row in words.rows(comparison.memories):
        lines += ["", *_row(row, comparison, page)]
    lines += [*_blocks(comparison, page), *_findings(comparison, page)]
    return "\n".join([*lines, "", page.paint(ESTIMATE, "quiet")]) + "\n"


def _row(row: words.Row, comparison: Comparison, page: Page) -> Iterator[str]:
    one = row.first
    yield from (page.paint(line, "title") for line in page.block("", _named(row.paths), indent=0))
    if one.kind != "changed":
        moved = f" from {one.old.memory.path}" if one.kind == "moved" and one.old is not None else ""
        more = f" and {len(row.paths) - 1} more alike" if moved and len(row.paths) > 1 else ""
        yield from page.block("", one.kind + moved + more, indent=2)
    for what, step in words.steps(one):
        yield from page.block(f"  {what}", step, indent=_INDENT, role="quiet")
    each = " each" if len(row.paths) > 1 else ""
    yield from page.block("  blocks", words.blocks(one) + each, indent=_INDENT, role="quiet")
    label = "  cause"
    for about, causes in words.causes(one):
        for text in _causes(about, causes, comparison, page):
            yield from page.block(label, text, indent=_INDENT, role="quiet")
            label = ""


def _causes(about: str, causes: Sequence[Cause], comparison: Comparison, page: Page) -> Iterator[str]:
    before = f"{about}: " if about else ""
    for cause in causes:
        side = words.side_of(cause, comparison)
        where = f" in {words.place(cause.span, side, page.shown)}" if cause.span is not None else ""
        yield f"{before}{cause.text}{where}"
    if not causes:
        yield before + words.UNKNOWN_CAUSE


def _named(paths: Sequence[str]) -> str:
    more = len(paths) - _MOST_PATHS
    return f"{', '.join(paths[:_MOST_PATHS])} and {more} more" if more > 1 else listed(paths)


def _blocks(comparison: Comparison, page: Page) -> Iterator[str]:
    tiers = [one for one in comparison.tiers if one.differs]
    for name in dict.fromkeys(one.name for one in tiers):
        yield from ("", page.paint(f"Blocks of {name}", "title"))
        yield from _table(_HEAD, [_cells(one) for one in tiers if one.name == name], page)
    units = words.unit_changes(comparison)
    if units:
        yield from ("", page.paint("Blocks by unit, with everything below", "title"))
        rows = [(one.name, *_cells(one)[:4]) for one in units]
        yield from _table(("unit", *_HEAD[:4]), rows, page)


def _cells(one: BlockChange) -> tuple[str, ...]:
    supply = "unknown" if one.available is None else amount(one.available)
    step = words.step_text(one)
    return one.tier, words.amount_text(one.before), words.amount_text(one.after), step, supply


def _table(head: Sequence[str], rows: Sequence[Sequence[str]], page: Page) -> Iterator[str]:
    """Names to the left, numbers to the right."""
    names = head.index("before")
    widths = [max(len(row[at]) for row in (head, *rows)) for at in range(len(head))]
    for number, row in enumerate((head, *rows)):
        cells = [
            cell.ljust(width) if at < names else cell.rjust(width)
            for at, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        line = ("  " + "  ".join(cells)).rstrip()
        yield page.paint(line, "quiet") if number == 0 else line


def _findings(comparison: Comparison, page: Page) -> Iterator[str]:
    for title, findings, side in (
        ("New findings", comparison.new_findings, comparison.new),
        ("Gone findings", comparison.gone_findings, comparison.old),
    ):
        if findings:
            yield from ("", page.paint(title, "title"))
        for finding in findings:
            yield from _finding(finding, side, page)


def _finding(finding: Finding, side: Side, page: Page) -> list[str]:
    severity = str(finding.severity)
    lines = page.block(f"  {severity}", f"{finding.message} ({finding.rule})", indent=_INDENT, role=severity)
    at = words.place(finding.span, side, page.shown)
    text = f"{at} in {_named(finding.paths)}" if finding.paths else at
    return [*lines, *page.block("", text, indent=_INDENT)]
