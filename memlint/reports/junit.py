"""Findings as JUnit XML, the form in which CI systems take test results.

A test case for each finding, and one that passes for each memory without any. A finding at or above the
failing level is a failure, one below it passes with its text as output. Nothing that changes from run to
run (times, host names) is written.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from xml.sax.saxutils import escape, quoteattr

from memlint.engine.judgement import Judgement
from memlint.reports.positions import line_and_column
from memlint.rules.finding import Finding, Severity
from memlint.text.source import Span

# Extensible Markup Language 1.0, 2.2: what a document may not hold, not even escaped.
_ILLEGAL = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def check_junit(judgement: Judgement, findings: Sequence[Finding], failing: Severity | None) -> str:
    """The XML document; `failing` is the severity from which a finding fails, None for never."""
    named = {path for one in findings for path in one.paths}
    quiet = [view.memory for view in judgement.memories if view.memory.path not in named]
    failures = sum(_fails(one, failing) for one in findings)
    count = f'tests="{len(findings) + len(quiet)}" failures="{failures}" errors="0" skipped="0"'
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<testsuites name="memlint" {count}>',
        f'  <testsuite name="memory intent" {count}>',
    ]
    for finding in findings:
        lines += _finding(finding, judgement, failing)
    for memory in quiet:
        name, unit = _attribute(memory.path), _attribute(memory.unit)
        lines.append(f"    <testcase name={name} classname={unit} file={_attribute(memory.span.file)}/>")
    return "\n".join([*lines, "  </testsuite>", "</testsuites>", ""])


def _fails(finding: Finding, failing: Severity | None) -> bool:
    return failing is not None and finding.severity >= failing


def _finding(finding: Finding, judgement: Judgement, failing: Severity | None) -> list[str]:
    line, _ = line_and_column(finding.span, judgement.sources)
    name = " ".join((finding.rule, *finding.paths[:1]))
    file = finding.span.file
    place = f"file={_attribute(file)}" + (f' line="{line}"' if line is not None else "")
    text = "\n".join(
        [
            f"{_place(finding.span, judgement)}: {finding.severity}: {finding.message} [{finding.rule}]",
            *(f"in {path}" for path in finding.paths),
            *(f"see {_place(one.span, judgement)}: {one.message}" for one in finding.related),
            *(f"help: {one}" for one in finding.help),
        ]
    )
    head = f"    <testcase name={_attribute(name)} classname={_attribute(finding.rule)} {place}>"
    if _fails(finding, failing):
        message = f"message={_attribute(finding.message)} type={_attribute(str(finding.severity))}"
        return [head, f"      <failure {message}>{_text(text)}</failure>", "    </testcase>"]
    return [head, f"      <system-out>{_text(text)}</system-out>", "    </testcase>"]


def _place(span: Span, judgement: Judgement) -> str:
    line, column = line_and_column(span, judgement.sources)
    return f"{span.file}:{line}:{column}" if line is not None else span.file


def _attribute(text: str) -> str:
    return quoteattr(_legal(text).replace("\n", " "))


def _text(text: str) -> str:
    return escape(_legal(text))


def _legal(text: str) -> str:
    return _ILLEGAL.sub("?", text)
