"""Findings as SARIF 2.1.0 (OASIS Standard, Static Analysis Results Interchange Format, 27 March 2020).

File names are relative to the project's root, which the log does not name: its reader knows where the
sources are. Columns are counted in code points. Accepted findings are results that are suppressed in the
source, with the reason that was given.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping, Sequence
from hashlib import sha256
from typing import Any
from urllib.parse import quote

from memlint import __version__
from memlint.engine.baseline import entries_of
from memlint.engine.judgement import Judgement
from memlint.reports.rule_page import rule_markdown
from memlint.rules.base import Rule, all_rules
from memlint.rules.docs import documentation
from memlint.rules.finding import Edit, Finding, Fix
from memlint.rules.view import MemoryView
from memlint.text.source import SourceText, Span

_SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
_ROOT = "PROJECTROOT"
_FINGERPRINT = "memlintFinding/v1"

Json = dict[str, Any]


def check_sarif(judgement: Judgement, findings: Sequence[Finding], accepted: Sequence[Finding]) -> str:
    """The log, one run in it. The same findings give the same bytes, wherever the project lies."""
    rules = all_rules()
    index = {rule.name: at for at, rule in enumerate(rules)}
    views = {view.memory.path: view for view in judgement.memories}
    marks = _Fingerprints(views)
    # All results say whether they are suppressed, or none does (SARIF 2.1.0, 3.27.23).
    results = [_result(one, judgement, index, marks) | {"suppressions": []} for one in findings]
    results += [
        _result(one, judgement, index, marks) | {"suppressions": [_suppression(one, views)]}
        for one in accepted
    ]
    run = {
        "tool": {
            "driver": {
                "name": "memlint",
                "semanticVersion": __version__,
                "rules": [_rule(rule) for rule in rules],
            }
        },
        "columnKind": "unicodeCodePoints",
        "originalUriBaseIds": {_ROOT: {"description": {"text": "The folder of memlint.toml."}}},
        "results": results,
        "properties": {"device": judgement.device.name},
    }
    log = {"$schema": _SCHEMA, "version": "2.1.0", "runs": [run]}
    return json.dumps(log, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _rule(rule: Rule) -> Json:
    pages = documentation(rule)
    return {
        "id": rule.name,
        "shortDescription": {"text": pages.summary},
        "fullDescription": {"text": pages.why},
        "help": {
            "text": f"{pages.summary}\n\n{pages.why}\n\nExample:\n{pages.example}\nMended:\n{pages.mended}",
            "markdown": rule_markdown(rule),
        },
        "defaultConfiguration": {"enabled": rule.on_by_default, "level": str(rule.severity)},
        "properties": {"tags": ["memory", rule.family]},
    }


def _result(finding: Finding, judgement: Judgement, index: Mapping[str, int], marks: _Fingerprints) -> Json:
    sources = judgement.sources
    location = _location(finding.span, sources)
    if finding.paths:
        location["logicalLocations"] = [{"fullyQualifiedName": path} for path in finding.paths]
    result: Json = {
        "ruleId": finding.rule,
        "ruleIndex": index.get(finding.rule, -1),
        "level": str(finding.severity),
        "message": {"text": _message(finding)},
        "locations": [location],
        "partialFingerprints": {_FINGERPRINT: marks.of(finding)},
    }
    if finding.related:
        result["relatedLocations"] = [
            {"id": at, **_location(one.span, sources), "message": {"text": one.message}}
            for at, one in enumerate(finding.related, 1)
        ]
    fixes = [_fix(fix, sources) for fix in finding.fixes if _in_sources(fix, sources)]
    if fixes:
        result["fixes"] = fixes
    return result


def _message(finding: Finding) -> str:
    """The message and the ways out: many viewers show nothing else of a result."""
    return "\n".join([f"{finding.message}.", *(f"- {one}" for one in finding.help)])


def _location(span: Span, sources: Mapping[str, SourceText]) -> Json:
    place: Json = {"artifactLocation": _file(span.file)}
    if span.file in sources:
        place["region"] = _region(span, sources[span.file])
    return {"physicalLocation": place}


def _file(file: str) -> Json:
    """A file below the root by its relative URI, any other by an absolute one (RFC 3986)."""
    if file.startswith("/"):
        return {"uri": f"file://{quote(file)}"}
    if file[1:2] == ":":
        return {"uri": f"file:///{quote(file, safe='/:')}"}
    return {"uri": quote(file), "uriBaseId": _ROOT}


def _region(span: Span, source: SourceText) -> Json:
    start, end = source.position(span.start), source.position(max(span.start, span.end))
    return {
        "startLine": start.line,
        "startColumn": start.column,
        "endLine": end.line,
        "endColumn": end.column,
    }


def _in_sources(fix: Fix, sources: Mapping[str, SourceText]) -> bool:
    return all(edit.span.file in sources for edit in fix.edits)


def _fix(fix: Fix, sources: Mapping[str, SourceText]) -> Json:
    files: dict[str, list[Edit]] = {}
    for edit in fix.edits:
        files.setdefault(edit.span.file, []).append(edit)
    return {
        "description": {"text": fix.title},
        "artifactChanges": [
            {
                "artifactLocation": _file(file),
                "replacements": [
                    {
                        "deletedRegion": _region(edit.span, sources[file]),
                        "insertedContent": {"text": edit.text},
                    }
                    for edit in edits
                ],
            }
            for file, edits in sorted(files.items())
        ],
        "properties": {"safe": fix.safe},
    }


def _suppression(finding: Finding, views: Mapping[str, MemoryView]) -> Json:
    clauses = (views[path].accepted(finding.rule) for path in finding.paths if path in views)
    reason = next((clause.reason for clause in clauses if clause is not None), "")
    return {"kind": "inSource", **({"justification": reason} if reason else {})}


class _Fingerprints:
    """Marks made of what a baseline knows a finding by, so that moved lines do not change them."""

    def __init__(self, views: Mapping[str, MemoryView]) -> None:
        self._views = views
        self._seen: Counter[str] = Counter()

    def of(self, finding: Finding) -> str:
        """The mark of a finding; the second one of the same kind in a run differs from the first."""
        known = json.dumps(entries_of(finding, self._views), ensure_ascii=True)
        digest = sha256(known.encode("ascii")).hexdigest()[:32]
        self._seen[digest] += 1
        return f"{digest}:{self._seen[digest]}"
