"""`memlint check` for people: each finding with its places, then what the design takes."""

from __future__ import annotations

from collections.abc import Sequence

from memlint.engine.judgement import Judgement
from memlint.reports.excerpt import excerpt
from memlint.reports.list_text import none_of
from memlint.reports.page import Page
from memlint.reports.totals_text import ESTIMATE, totals
from memlint.rules.finding import Finding, Severity
from memlint.rules.wording import listed, plural
from memlint.text.source import Span

_INDENT = 9
_MOST_PATHS = 3
_MOST_RELATED = 6


def check_text(
    judgement: Judgement, findings: Sequence[Finding], device_note: str, page: Page, known: int = 0
) -> str:
    """The findings to show, of all the judgement has, and the summary. Ends in a line end.

    `device_note` is empty or says why this device was taken; `known` findings are left out because a
    baseline has them.
    """
    lines: list[str] = []
    for finding in findings:
        lines += [*_finding(finding, judgement, page), ""]
    lines += _summary(judgement, findings, device_note, page, known)
    return "\n".join(lines) + "\n"


def _finding(finding: Finding, judgement: Judgement, page: Page) -> list[str]:
    severity = str(finding.severity)
    message = f"{finding.message} ({finding.rule})"
    lines = page.block(severity, message, indent=_INDENT, role=severity)
    lines += _place(_label("at"), finding.span, _of(finding.paths), "=", judgement, page)
    for related in finding.related[:_MOST_RELATED]:
        lines += _place(_label("see"), related.span, related.message, "-", judgement, page)
    more = len(finding.related) - _MOST_RELATED
    if more > 0:
        lines += page.block("", f"and {plural(more, 'more place')}", indent=_INDENT)
    return lines + page.items(_label("help"), finding.help, indent=_INDENT, role="quiet")


def _label(word: str) -> str:
    return word.rjust(_INDENT - 2)


def _of(paths: Sequence[str]) -> str:
    """The memories or instances a finding holds for, the first few by name."""
    more = len(paths) - _MOST_PATHS
    if more > 1:
        return f"in {', '.join(paths[:_MOST_PATHS])} and {more} more"
    return f"in {listed(paths)}" if paths else ""


def _place(label: str, span: Span, text: str, mark: str, judgement: Judgement, page: Page) -> list[str]:
    place = page.place(span, judgement.sources)
    lines = page.block(label, f"{place} {text}".rstrip(), indent=_INDENT, role="quiet")
    source = judgement.sources.get(span.file)
    shown = excerpt(source, span, page.width - _INDENT - 4, mark) if source is not None else None
    if shown is None:
        return lines
    indent = " " * (_INDENT + 4)
    until = f"  to line {shown.last_line}" if shown.last_line is not None else ""
    marks = shown.marks.lstrip()
    before = shown.marks[: len(shown.marks) - len(marks)]
    return [*lines, indent + shown.line, indent + before + page.paint(marks, "mark") + until]


def _summary(
    judgement: Judgement, findings: Sequence[Finding], device_note: str, page: Page, known: int
) -> list[str]:
    lines = [page.paint(_counts(findings, len(judgement.accepted), known), "title")]
    mendable = sum(any(fix.safe for fix in one.fixes[:1]) for one in findings)
    if mendable:
        mended = "is mended" if mendable == 1 else "are mended"
        lines += page.block("", f"{mendable} of them {mended} by `memlint check --fix`", indent=0)
    unknown = sum(view.memory.bits is None for view in judgement.memories)
    memories = plural(len(judgement.memories), "memory", "memories")
    shapes = f", {unknown} of unknown shape" if unknown else ""
    lines += page.block("", f"{memories} on device {judgement.device.name}{device_note}{shapes}", indent=0)
    lines += none_of(judgement, page)
    tables = totals(judgement, page)
    return [*lines, "", *tables, page.paint(ESTIMATE, "quiet")]


def _counts(findings: Sequence[Finding], accepted: int, known: int) -> str:
    parts = [
        plural(count, str(severity))
        for severity in reversed(Severity)
        if (count := sum(one.severity == severity for one in findings))
    ]
    kept = f"; {plural(accepted, 'finding')} accepted" if accepted else ""
    kept += f"; {plural(known, 'finding')} known to the baseline" if known else ""
    return (listed(parts) if parts else "No findings") + kept
