"""Units outside the design's top: their intents are checked, and nothing else."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from memlint.design.design import Design, DesignOptions, elaborate_design
from memlint.engine.judgement import Judgement
from memlint.engine.judging import judge_design, ordered
from memlint.engine.settings import Settings
from memlint.reading.facts.items import FileFacts
from memlint.rules.base import rule_named
from memlint.rules.finding import Finding

_ROOTS = frozenset(("module", "entity", "program"))


def with_outside(
    judgement: Judgement,
    design: Design,
    files: Iterable[FileFacts],
    options: DesignOptions,
    settings: Settings,
) -> Judgement:
    """The judgement with the intent findings of units the top does not reach, at default parameters."""
    known = list(files)
    reached = {node.body.unit.name for node in design.nodes}
    outside = tuple(
        unit.name
        for file in known
        if "@mem" in judgement.sources[file.file].text
        for unit in file.units
        if unit.kind in _ROOTS and unit.name not in reached
    )
    if not outside:
        return judgement
    other = elaborate_design(known, replace(options, tops=outside, parameters={}))
    found = judge_design(other, (), judgement.device, settings, judgement.sources)
    # An acceptance may be there for a rule that only speaks inside the design.
    intents = [one for one in found.findings if _is_about_intent(one) and one.rule != "acceptance-unused"]
    findings = ordered([*judgement.findings, *intents])
    return replace(judgement, findings=findings, outside=found.memories)


def _is_about_intent(finding: Finding) -> bool:
    rule = rule_named(finding.rule)
    return rule is not None and rule.family == "intent"
