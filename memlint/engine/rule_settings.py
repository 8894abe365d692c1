"""What memlint.toml's `[rules]` say of a file's rules: thresholds and severities."""

from __future__ import annotations

from dataclasses import replace
from fnmatch import fnmatch

from memlint.engine.settings import RuleSettings
from memlint.rules.base import rule_named
from memlint.rules.finding import Finding


def thresholds(rules: tuple[RuleSettings, ...], file: str) -> dict[str, float]:
    """The thresholds in force in a file, those of all files where it is empty."""
    found: dict[str, float] = {}
    for one in rules:
        if _applies(one, file):
            found.update({key.rpartition(".")[2]: value for key, value in one.thresholds.items()})
    return found


def _applies(settings: RuleSettings, file: str) -> bool:
    return not settings.paths or any(fnmatch(file, pattern) for pattern in settings.paths)


def with_settings(finding: Finding, rules: tuple[RuleSettings, ...]) -> Finding | None:
    """The finding at the severity the project gives its rule; None where the rule is off."""
    rule = rule_named(finding.rule)
    on = rule.on_by_default if rule is not None else True
    severity = finding.severity
    for one in rules:
        if _applies(one, finding.span.file) and finding.rule in one.severities:
            given = one.severities[finding.rule]
            on = given is not None
            # A rule that lowered its own voice (only gated, only noted) keeps the lower one.
            if given is not None and (rule is None or severity == rule.severity):
                severity = given
    if not on:
        return None
    return finding if severity == finding.severity else replace(finding, severity=severity)
