"""The rules as one page of Markdown, made from their docstrings."""

from __future__ import annotations

from collections.abc import Sequence

from memlint.rules.base import Rule
from memlint.rules.docs import documentation

_LANGUAGE = "systemverilog"


def rules_markdown(rules: Sequence[Rule]) -> str:
    """A table of the rules and a section for each. Ends in a line end."""
    lines = ["# Rules", "", "| rule | family | severity | finds |", "|---|---|---|---|"]
    for rule in rules:
        severity = str(rule.severity) if rule.on_by_default else f"{rule.severity}, off by default"
        summary = documentation(rule).summary.replace("|", "\\|")
        lines.append(f"| [`{rule.name}`](#{rule.name}) | {rule.family} | {severity} | {summary} |")
    sections = [f"## {rule.name}\n\n{rule_markdown(rule)}" for rule in rules]
    return "\n".join([*lines, "", "\n".join(sections)])


def rule_markdown(rule: Rule) -> str:
    """What a rule finds, why it costs, its samples and settings. Ends in a line end."""
    about = documentation(rule)
    by_default = f"{rule.severity} by default" if rule.on_by_default else "off by default"
    lines = [about.summary, "", f"Family {rule.family}, {by_default}.", "", about.why, ""]
    lines += ["Raises it:", "", *_fenced(about.example), "Mended:", "", *_fenced(about.mended)]
    if about.settings:
        lines += [f"Settings, in memlint.toml under `[rules.{rule.name}]`:", ""]
        lines += [f"- `{one.name} = {one.default}`: {one.text}" for one in about.settings]
        lines.append("")
    return "\n".join(lines)


def _fenced(text: str) -> list[str]:
    return [f"```{_LANGUAGE}", *text.rstrip("\n").split("\n"), "```", ""]
