"""`memlint compare` as Markdown, fit for a merge request comment."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from memlint.engine.differences.changes import Cause, Comparison
from memlint.engine.sides import Side
from memlint.reports import compare_words as words
from memlint.reports.markdown import code, row, sentence
from memlint.reports.totals_text import ESTIMATE
from memlint.rules.finding import Finding
from memlint.rules.wording import amount

_MOST_PATHS = 2
_BREAK = "<br>"


def compare_markdown(comparison: Comparison) -> str:
    """The comparison: a line that sums it up, then tables. Ends in a line end."""
    lines = [f"**memlint:** {sentence(words.headline(comparison))}", "", *_sides(comparison), ""]
    lines += _memories(comparison)
    lines += _tiers(comparison)
    lines += _findings("New findings", comparison.new_findings, comparison.new)
    lines += _folded("Blocks by unit, with everything below", [*_units(comparison)])
    gone = [*_findings("", comparison.gone_findings, comparison.old)]
    lines += _folded(f"Findings that are gone: {len(comparison.gone_findings)}", gone)
    return "\n".join([*lines, f"<sub>{ESTIMATE}</sub>", ""])


def _sides(comparison: Comparison) -> Iterator[str]:
    yield f"{_side(comparison.old)} → {_side(comparison.new)}"
    for note in words.notes(comparison):
        yield from ("", f"> {sentence(note)}")


def _side(side: Side) -> str:
    return code(words.side_name(side)) if side.commit else side.name


def _memories(comparison: Comparison) -> Iterator[str]:
    if not comparison.memories:
        return
    yield from row("memory", "change", "blocks", "cause")
    yield from row("---", "---", "---", "---")
    for one in words.rows(comparison.memories):
        steps = [f"{what} {step}" for what, step in words.steps(one.first)]
        kind = [] if one.first.kind == "changed" else [_kind(one)]
        causes = [
            sentence(text)
            for about, causes in words.causes(one.first)
            for text in _causes(about, causes, comparison)
        ]
        each = " each" if len(one.paths) > 1 else ""
        yield from row(
            _named(one.paths),
            _BREAK.join([*kind, *map(sentence, steps)]) or "blocks",
            sentence(words.blocks(one.first) + each),
            _BREAK.join(causes),
        )
    yield ""


def _kind(one: words.Row) -> str:
    change = one.first
    if change.kind != "moved" or change.old is None:
        return change.kind
    return f"moved from {code(change.old.memory.path)}" + (" and so on" if len(one.paths) > 1 else "")


def _causes(about: str, causes: Sequence[Cause], comparison: Comparison) -> Iterator[str]:
    before = f"{about}: " if about else ""
    for cause in causes:
        side = words.side_of(cause, comparison)
        where = f" in `{words.place(cause.span, side)}`" if cause.span is not None else ""
        yield f"{before}{cause.text}{where}"
    if not causes:
        yield before + words.UNKNOWN_CAUSE


def _named(paths: Sequence[str]) -> str:
    more = len(paths) - _MOST_PATHS
    shown = paths[:_MOST_PATHS] if more > 1 else paths
    return _BREAK.join([*map(code, shown), *([f"and {more} more"] if more > 1 else [])])


def _tiers(comparison: Comparison) -> Iterator[str]:
    tiers = [one for one in comparison.tiers if one.differs]
    if not tiers:
        return
    several = len({one.name for one in tiers}) > 1
    yield from row(*(["root"] if several else []), "tier", "before", "after", "change", "available")
    yield from row(*(["---"] if several else []), "---", "--:", "--:", "--:", "--:")
    for one in tiers:
        yield from row(
            *([code(one.name)] if several else []),
            code(one.tier),
            words.amount_text(one.before),
            words.amount_text(one.after),
            words.step_text(one),
            "unknown" if one.available is None else amount(one.available),
        )
    yield ""


def _units(comparison: Comparison) -> Iterator[str]:
    units = words.unit_changes(comparison)
    if not units:
        return
    yield from row("unit", "tier", "before", "after", "change")
    yield from row("---", "---", "--:", "--:", "--:")
    for one in units:
        before, after = words.amount_text(one.before), words.amount_text(one.after)
        yield from row(code(one.name), code(one.tier), before, after, words.step_text(one))


def _findings(title: str, findings: Sequence[Finding], side: Side) -> Iterator[str]:
    if not findings:
        return
    if title:
        yield from (f"**{title}**", "")
    yield from row("severity", "finding", "where")
    yield from row("---", "---", "---")
    for one in findings:
        where = [code(words.place(one.span, side)), *([_named(one.paths)] if one.paths else [])]
        yield from row(str(one.severity), f"{sentence(one.message)} ({code(one.rule)})", _BREAK.join(where))
    yield ""


def _folded(title: str, lines: Sequence[str]) -> list[str]:
    """What is only shown on demand; nothing where there is nothing."""
    return ["<details><summary>" + title + "</summary>", "", *lines, "", "</details>", ""] if lines else []
