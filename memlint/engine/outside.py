"""Units outside the design's top: their intents are checked, and nothing else."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from memlint.design.design import Design, Elaboration
from memlint.design.hierarchy import Node
from memlint.engine.judgement import Judgement
from memlint.engine.judging import Judging
from memlint.engine.told import ordered
from memlint.reading.facts.items import FileFacts
from memlint.rules.base import rule_named
from memlint.rules.finding import Finding
from memlint.text.source import SourceText

_ROOTS = frozenset(("module", "entity", "program"))


class Outside:
    """Judges the units of a project that its top does not reach, at default parameters."""

    def __init__(self, judging: Judging) -> None:
        self._judging = judging
        self._speaking: dict[int, tuple[FileFacts, tuple[str, ...]]] = {}
        self._reached: tuple[tuple[Node, ...], frozenset[str]] = (), frozenset()

    def add(
        self, judgement: Judgement, design: Design, files: Iterable[FileFacts], elaboration: Elaboration
    ) -> Judgement:
        """The judgement with the findings about intents outside."""
        if self._reached[0] is not design.nodes:
            self._reached = design.nodes, frozenset(node.unit.name for node in design.nodes)
        reached = self._reached[1]
        outside = tuple(
            name
            for names in self._with_intents(files, judgement.sources)
            for name in names
            if name not in reached
        )
        other = elaboration.outside(outside)
        if other is None:
            return judgement
        found = self._judging.judge(other, (), judgement.sources)
        # An acceptance may be there for a rule that only speaks inside the design.
        intents = [one for one in found.findings if _is_about_intent(one) and one.rule != "acceptance-unused"]
        findings = ordered([*judgement.findings, *intents])
        return replace(judgement, findings=findings, outside=found.memories)

    def _with_intents(
        self, files: Iterable[FileFacts], sources: Mapping[str, SourceText]
    ) -> list[tuple[str, ...]]:
        """The units that could be roots, of each file that holds an intent."""
        before, self._speaking = self._speaking, {}
        found: list[tuple[str, ...]] = []
        for file in files:
            known = self._speaking[id(file)] = before.get(id(file)) or (file, _units(file, sources))
            if known[1]:
                found.append(known[1])
        return found


def _units(file: FileFacts, sources: Mapping[str, SourceText]) -> tuple[str, ...]:
    if "@mem" not in sources[file.file].text:
        return ()
    return tuple(unit.name for unit in file.units if unit.kind in _ROOTS)


def _is_about_intent(finding: Finding) -> bool:
    rule = rule_named(finding.rule)
    return rule is not None and rule.family == "intent"
