"""Findings as the diagnostics of the protocol."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lsprotocol import types

from memlint.rules.finding import Finding, Severity
from memlint.server.client import Client
from memlint.server.pages import Pages
from memlint.server.places import lsp_range
from memlint.text.source import SourceText

SOURCE = "memlint"
MOST_PER_FILE = 200
_MOST_INSTANCES = 4
_MOST_PLACES = 3

_INDEX = re.compile(r"\[-?\d+\]")

_SEVERITIES = {
    Severity.ERROR: types.DiagnosticSeverity.Error,
    Severity.WARNING: types.DiagnosticSeverity.Warning,
    Severity.NOTE: types.DiagnosticSeverity.Information,
}

UNFINISHED = frozenset(("intent-syntax", "intent-unattached", "source-not-read", "unknown-tier"))
"""Rules that find what a line still being typed has not got yet."""


@dataclass(frozen=True, slots=True)
class Sight:
    """What diagnostics are made with: the texts that were judged, the URI of each file, the client, and the
    pages about rules."""

    sources: Mapping[str, SourceText]
    uris: Mapping[str, str]
    client: Client
    pages: Pages


def diagnostics_of(findings: Sequence[Finding], sight: Sight) -> tuple[types.Diagnostic, ...]:
    """The diagnostics of one file: the most severe where there are too many, and how many more."""
    shown = findings
    if len(findings) > MOST_PER_FILE:
        worst = sorted(range(len(findings)), key=lambda index: -findings[index].severity)[:MOST_PER_FILE]
        shown = [findings[index] for index in sorted(worst)]
    made = [_diagnostic(finding, sight) for finding in shown]
    if len(shown) < len(findings):
        made.append(_more(len(findings) - len(shown)))
    return tuple(made)


def held_back(diagnostic: types.Diagnostic, line: int | None) -> bool:
    """Whether it only says that a line (from 0), on which someone types, is not finished."""
    if line is None or diagnostic.code not in UNFINISHED:
        return False
    return diagnostic.range.start.line <= line <= diagnostic.range.end.line


def _diagnostic(finding: Finding, sight: Sight) -> types.Diagnostic:
    source = sight.sources.get(finding.span.file)
    return types.Diagnostic(
        range=lsp_range(source, finding.span, sight.client.encoding),
        message=_message(finding, sight),
        severity=_SEVERITIES[finding.severity],
        code=finding.rule,
        code_description=_code_description(finding.rule, sight),
        source=SOURCE,
        tags=_tags(finding, sight),
        related_information=_related(finding, sight) if sight.client.related_places else None,
    )


def _code_description(rule: str, sight: Sight) -> types.CodeDescription | None:
    page = sight.pages.rule(rule) if sight.client.code_descriptions else None
    return types.CodeDescription(page) if page is not None else None


def _tags(finding: Finding, sight: Sight) -> list[types.DiagnosticTag] | None:
    """What can be taken out is shown faded where the editor does that."""
    if finding.rule != "acceptance-unused" or not sight.client.unused_tags:
        return None
    # An acceptance of a rule that does not exist is mended by another name instead.
    goes = any(not edit.text for fix in finding.fixes for edit in fix.edits)
    return [types.DiagnosticTag.Unnecessary] if goes else None


def _message(finding: Finding, sight: Sight) -> str:
    """What is wrong, then where else it holds, then one line for each thing that can be done."""
    lines = [finding.message]
    if len(finding.paths) > 1:
        lines.append(
            f"In {len(finding.paths):,} instances: {_listed(_alike(finding.paths), _MOST_INSTANCES)}"
        )
    if not sight.client.related_places:
        for one in finding.related[:_MOST_PLACES]:
            source = sight.sources.get(one.span.file)
            line = f":{source.position(one.span.start).line}" if source is not None else ""
            lines.append(f"{one.span.file}{line}: {one.message}")
    lines.extend(f"- {one}" for one in finding.help)
    return "\n".join(lines)


def _alike(paths: Sequence[str]) -> list[str]:
    """Paths that differ in their indices only are written once, with `[*]` for those."""
    found: dict[str, list[str]] = {}
    for path in paths:
        found.setdefault(_INDEX.sub("[*]", path), []).append(path)
    return [pattern if len(alike) > 1 else alike[0] for pattern, alike in found.items()]


def _listed(names: Sequence[str], most: int) -> str:
    shown = ", ".join(names[:most])
    return shown if len(names) <= most else f"{shown} and {len(names) - most} more"


def _related(finding: Finding, sight: Sight) -> list[types.DiagnosticRelatedInformation] | None:
    places = [
        types.DiagnosticRelatedInformation(
            types.Location(
                sight.uris[one.span.file],
                lsp_range(sight.sources.get(one.span.file), one.span, sight.client.encoding),
            ),
            one.message,
        )
        for one in finding.related
        if one.span.file in sight.uris
    ]
    return places or None


def _more(count: int) -> types.Diagnostic:
    start = types.Position(0, 0)
    findings = "finding" if count == 1 else "findings"
    return types.Diagnostic(
        range=types.Range(start, start),
        message=f"and {count:,} more {findings} in this file; `memlint check` lists them all",
        severity=types.DiagnosticSeverity.Information,
        source=SOURCE,
    )
