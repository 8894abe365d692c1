"""Findings as they were raised → as they are told: severities, acceptances, one cause one finding."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from memlint.engine.edits import exact_edits
from memlint.engine.rule_settings import with_settings
from memlint.engine.settings import RuleSettings
from memlint.rules.finding import Finding
from memlint.rules.view import MemoryView
from memlint.text.order import by_number
from memlint.text.source import SourceText

_MOST_RELATED = 12


@dataclass(frozen=True, slots=True)
class _Made:
    """A finding and what it was made from, which is kept so that nothing else gets its `id`."""

    source: object
    finding: Finding | None


class Told:
    """Remembers what became of each finding while the same one is raised again."""

    def __init__(self, rules: tuple[RuleSettings, ...]) -> None:
        self._rules = rules
        self._set: dict[int, _Made] = {}
        self._merged: dict[tuple[int, ...], _Made] = {}
        self._exact: dict[int, _Made] = {}

    def told(
        self,
        raised: Iterable[Finding],
        views: Mapping[str, MemoryView],
        sources: Mapping[str, SourceText],
    ) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
        """What is found and what is accepted, each in order. `views` are all memories by their paths; none
        where none of them accepts anything."""
        kept: list[Finding] = []
        accepted: list[Finding] = []
        given = self._set
        now: dict[int, _Made] = {}
        for finding in raised:
            made = now[id(finding)] = given.get(id(finding)) or _Made(
                finding, with_settings(finding, self._rules)
            )
            if made.finding is not None:
                (accepted if _accepted(made.finding, views) else kept).append(made.finding)
        self._set = now
        known, self._merged = self._merged, {}
        first = self._once(kept, known)
        second = self._once(accepted, known)
        return ordered(self._with_exact_edits(first, sources)), ordered(second)

    def _once(self, findings: Iterable[Finding], known: Mapping[tuple[int, ...], _Made]) -> list[Finding]:
        """One cause, one finding: equal numbers at one place are one finding with all its instances."""
        # Few findings share a place: only then are their numbers looked at.
        places: dict[tuple[str, str, int, int], list[Finding]] = {}
        for finding in findings:
            span = finding.span
            places.setdefault((finding.rule, span.file, span.start, span.end), []).append(finding)
        merged: list[Finding] = []
        for found in places.values():
            if len(found) == 1:
                merged.append(found[0])
                continue
            groups: dict[object, list[Finding]] = {}
            for finding in found:
                message = None if finding.numbers else finding.message
                groups.setdefault((finding.severity, finding.numbers, message), []).append(finding)
            merged.extend(self._one(group, known) for group in groups.values())
        return merged

    def _one(self, group: list[Finding], known: Mapping[tuple[int, ...], _Made]) -> Finding:
        if len(group) == 1:
            return group[0]
        key = tuple(map(id, group))
        made = self._merged[key] = known.get(key) or _Made(group, _together(group))
        assert made.finding is not None
        return made.finding

    def _with_exact_edits(
        self, findings: Iterable[Finding], sources: Mapping[str, SourceText]
    ) -> list[Finding]:
        known, self._exact = self._exact, {}
        exact: list[Finding] = []
        for finding in findings:
            if not finding.fixes:
                exact.append(finding)
                continue
            texts = [sources.get(edit.span.file) for fix in finding.fixes for edit in fix.edits]
            made = known.get(id(finding))
            if made is None or not _same(made.source, (finding, *texts)):
                made = _Made((finding, *texts), exact_edits(finding, sources))
            self._exact[id(finding)] = made
            assert made.finding is not None
            exact.append(made.finding)
        return exact


def _same(source: object, other: tuple[object, ...]) -> bool:
    return isinstance(source, tuple) and list(map(id, source)) == list(map(id, other))


def _accepted(finding: Finding, views: Mapping[str, MemoryView]) -> bool:
    if not finding.paths or finding.rule == "acceptance-unused":
        return False
    known = [views[path] for path in finding.paths if path in views]
    return bool(known) and all(view.accepted(finding.rule) is not None for view in known)


def _together(group: list[Finding]) -> Finding:
    related = list(group[0].related)
    for finding in group[1:]:
        related.extend(one for one in finding.related if one not in related)
    paths = sorted({path for finding in group for path in finding.paths}, key=by_number)
    return replace(group[0], paths=tuple(paths), related=tuple(related[:_MOST_RELATED]))


def ordered(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings in the order every output keeps: by file, place and rule."""
    return tuple(
        sorted(findings, key=lambda one: (one.span.file, one.span.start, one.span.end, one.rule, one.paths))
    )
