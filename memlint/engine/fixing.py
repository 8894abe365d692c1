"""Apply the fixes of findings: safe ones only, never two that overlap, each result judged again.

A fix edits intent comments and nothing else; one whose edit reaches outside a comment, or whose result
brings a finding that was not there, is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from memlint.engine.edits import stays_in_intent
from memlint.engine.judgement import Judgement
from memlint.rules.finding import Edit, Finding, Fix
from memlint.text.source import SourceText, Span

Judge = Callable[[Mapping[str, str]], Judgement]
# Each round mends what the last one uncovered; so many mean that two rules disagree.
_MOST_ROUNDS = 20


@dataclass(frozen=True, slots=True)
class Tried:
    """A fix that was made or left out; `source` is the text that the finding's span is in."""

    finding: Finding
    title: str
    source: SourceText


@dataclass(frozen=True, slots=True)
class Fixed:
    """New texts by file, and what was applied or left out."""

    texts: Mapping[str, str]
    applied: tuple[Tried, ...]
    refused: tuple[Tried, ...]


def fix_all(judgement: Judgement, judge: Judge, wanted: Callable[[Finding], bool]) -> Fixed:
    """Apply every safe fix of the wanted findings. `judge` judges the project with some texts replaced."""
    texts: dict[str, str] = {}
    applied: list[Tried] = []
    refused: list[Tried] = []
    current = judgement
    for _ in range(_MOST_ROUNDS):
        chosen = _compatible(
            (finding, fix)
            for finding in current.findings
            if wanted(finding)
            for fix in finding.fixes[:1]
            if fix.safe and _in_intents(fix, current.sources) and not _refused(finding, fix, refused)
        )
        if not chosen:
            break
        kept, after = _without_harm(chosen, current, texts, judge)
        refused.extend(_tried(one, current) for one in chosen if one not in kept)
        if not kept:
            break
        applied.extend(_tried(one, current) for one in kept)
        texts.update(_edited([fix for _, fix in kept], current.sources))
        current = after
    return Fixed(texts, tuple(applied), tuple(refused))


def _tried(pair: tuple[Finding, Fix], judgement: Judgement) -> Tried:
    finding, fix = pair
    return Tried(finding, fix.title, judgement.sources[finding.span.file])


def _refused(finding: Finding, fix: Fix, refused: Iterable[Tried]) -> bool:
    """Whether this was tried before; places move when other fixes are made, messages do not."""
    return any(
        (one.finding.rule, one.finding.message, one.title) == (finding.rule, finding.message, fix.title)
        for one in refused
    )


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
    """All fixes if together they bring no new finding; else those that bring none, found by halving."""
    kept: list[tuple[Finding, Fix]] = []
    best = before
    groups = [chosen]
    while groups:
        group = groups.pop()
        edited = _edited([fix for _, fix in (*kept, *group)], before.sources)
        tried = judge({**texts, **edited})
        if not _brought(before, tried):
            kept += group
            best = tried
        elif len(group) > 1:
            half = len(group) // 2
            groups += [group[half:], group[:half]]
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
    return all(
        edit.span.file in sources and stays_in_intent(edit, sources[edit.span.file]) for edit in fix.edits
    )
