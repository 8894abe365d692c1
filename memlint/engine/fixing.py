"""Apply the fixes of findings: safe ones only, never two that overlap, each result judged again.

A fix edits intent comments and nothing else; one whose edit reaches outside a comment, or whose result
brings a finding that was not there, is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from memlint.engine.judgement import Judgement
from memlint.rules.finding import Edit, Finding, Fix
from memlint.text.source import SourceText, Span

Judge = Callable[[Mapping[str, str]], Judgement]
# Each round mends what the last one uncovered; more than a few means two rules disagree.
_MOST_ROUNDS = 5


@dataclass(frozen=True, slots=True)
class Fixed:
    """New texts by file, and what was applied or left out (finding, title)."""

    texts: Mapping[str, str]
    applied: tuple[tuple[Finding, str], ...]
    refused: tuple[tuple[Finding, str], ...]


def fix_all(judgement: Judgement, judge: Judge, wanted: Callable[[Finding], bool]) -> Fixed:
    """Apply every safe fix of the wanted findings. `judge` judges the project with some texts replaced."""
    texts: dict[str, str] = {}
    applied: list[tuple[Finding, str]] = []
    refused: list[tuple[Finding, str]] = []
    current = judgement
    for _ in range(_MOST_ROUNDS):
        chosen = _compatible(
            (finding, fix)
            for finding in current.findings
            if wanted(finding)
            for fix in finding.fixes[:1]
            if fix.safe and (finding, fix.title) not in refused and _in_intents(fix, current.sources)
        )
        if not chosen:
            break
        kept, after = _without_harm(chosen, current, texts, judge)
        refused.extend((finding, fix.title) for finding, fix in chosen if (finding, fix) not in kept)
        if not kept:
            break
        applied.extend((finding, fix.title) for finding, fix in kept)
        texts.update(_edited([fix for _, fix in kept], current.sources))
        current = after
    return Fixed(texts, tuple(applied), tuple(refused))


def _compatible(pairs: Iterable[tuple[Finding, Fix]]) -> list[tuple[Finding, Fix]]:
    """The fixes, in order, without those that touch what an earlier one edits; equal edits are one."""
    chosen: list[tuple[Finding, Fix]] = []
    taken: list[Edit] = []
    for finding, fix in pairs:
        if all(edit in taken for edit in fix.edits):
            continue
        if any(_overlap(edit.span, other.span) for edit in fix.edits for other in taken):
            continue
        taken.extend(fix.edits)
        chosen.append((finding, fix))
    return chosen


def _overlap(first: Span, second: Span) -> bool:
    return first.file == second.file and first.start < second.end and second.start < first.end


def _without_harm(
    chosen: list[tuple[Finding, Fix]], before: Judgement, texts: Mapping[str, str], judge: Judge
) -> tuple[list[tuple[Finding, Fix]], Judgement]:
    """All fixes if together they bring no new finding; else those that bring none one by one."""

    def judged(fixes: list[Fix]) -> Judgement:
        return judge({**texts, **_edited(fixes, before.sources)})

    after = judged([fix for _, fix in chosen])
    if not _brought(before, after):
        return chosen, after
    kept: list[tuple[Finding, Fix]] = []
    best = before
    for finding, fix in chosen:
        tried = judged([*(one for _, one in kept), fix])
        if not _brought(before, tried):
            kept.append((finding, fix))
            best = tried
    return kept, best


def _brought(before: Judgement, after: Judgement) -> bool:
    known = {(one.rule, one.paths) for one in before.findings}
    return any((one.rule, one.paths) not in known for one in after.findings)


def _edited(fixes: Iterable[Fix], sources: Mapping[str, SourceText]) -> dict[str, str]:
    edits: dict[str, set[Edit]] = {}
    for fix in fixes:
        for edit in fix.edits:
            edits.setdefault(edit.span.file, set()).add(edit)
    return {file: apply_edits(sources[file].text, found) for file, found in edits.items()}


def apply_edits(text: str, edits: Iterable[Edit]) -> str:
    """The text with each span replaced; the spans must not overlap."""
    for edit in sorted(edits, key=lambda one: one.span.start, reverse=True):
        text = text[: edit.span.start] + edit.text + text[edit.span.end :]
    return text


def _in_intents(fix: Fix, sources: Mapping[str, SourceText]) -> bool:
    """Whether every edit stays inside a comment with the marker, and puts no line end or closer in."""
    for edit in fix.edits:
        source = sources.get(edit.span.file)
        if source is None or "\n" in edit.text or "*/" in edit.text:
            return False
        line_start = source.text.rfind("\n", 0, edit.span.start) + 1
        before = source.text[line_start : edit.span.start]
        block = source.text.rfind("/*", 0, edit.span.start)
        inside_block = block >= 0 and "*/" not in source.text[block : edit.span.start]
        opened = "@mem" in before or (inside_block and "@mem" in source.text[block : edit.span.start])
        if not opened and not _whole_comment(source.text, edit.span):
            return False
    return True


def _whole_comment(text: str, span: Span) -> bool:
    """Whether the span is (blanks and) one comment with the marker, to be taken out whole."""
    held = text[span.start : span.end].strip()
    return held.startswith(("//", "--", "/*")) and "@mem" in held
