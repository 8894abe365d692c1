"""An elaborated design and a device → the judgement: views, findings, acceptances, totals, in order."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from fnmatch import fnmatch
from fractions import Fraction

from memlint.design.design import Design
from memlint.design.memory import Memory
from memlint.device.facts import Device
from memlint.engine.edits import with_exact_edits
from memlint.engine.judgement import Judgement, TierTotal
from memlint.engine.placing import view_of
from memlint.engine.settings import RuleSettings, Settings
from memlint.reading.facts.items import Problem
from memlint.reading.intent.clauses import Budget, Intent, Shape
from memlint.rules.base import all_rules, rule_named
from memlint.rules.finding import Edit, Finding, Fix, Severity
from memlint.rules.view import DesignView, MemoryView, MissingUnit, UnitIntent
from memlint.text.source import SourceText, Span


def judge_design(
    design: Design,
    problems: Iterable[Problem],
    device: Device,
    settings: Settings,
    sources: Mapping[str, SourceText],
) -> Judgement:
    """Everything about one state of a project, in its final order."""
    thresholds = _thresholds(settings.rules, "")
    views = _views(design.memories, device, settings.rules)
    missing = tuple(
        MissingUnit(
            one.name,
            tuple(path for path, _ in one.instances),
            one.instances[0][1],
            tuple(dict.fromkeys(span for _, span in one.instances)),
        )
        for one in design.missing
    )
    whole = DesignView(
        device,
        views,
        design.not_memories,
        missing,
        design.roots,
        thresholds,
        tuple(_unit_intents(design)),
        {name: Fraction(str(count)) for name, count in settings.reserve.items()},
    )
    raised = [*_from_problems(problems), *_from_design(design)]
    accepted: list[Finding] = []
    by_path = {view.memory.path: view for view in views}
    for rule in all_rules():
        for view in views:
            if rule.speaks_of(view):
                raised.extend(rule.check(view))
        raised.extend(rule.check_design(whole))
    seen: dict[str, set[str]] = {}
    for finding in raised:
        for path in finding.paths:
            seen.setdefault(path, set()).add(finding.rule)
    frozen = {path: frozenset(rules) for path, rules in seen.items()}
    for rule in all_rules():
        raised.extend(rule.check_acceptances(whole, frozen))
    kept: list[Finding] = []
    for finding in raised:
        one = _with_settings(finding, settings.rules)
        if one is None:
            continue
        if _accepted(one, by_path):
            accepted.append(one)
        else:
            kept.append(one)
    return Judgement(
        device,
        views,
        design.not_memories,
        ordered(with_exact_edits(_merged(kept), sources)),
        ordered(_merged(accepted)),
        missing,
        design.roots,
        _totals(views, design.roots, device),
        sources,
        tuple((node.path, node.body.unit.name) for node in design.nodes),
        whole.unit_intents,
        _root_parameters(design),
    )


def _root_parameters(design: Design) -> tuple[str, ...]:
    names = (
        parameter.name
        for node in design.nodes
        if node.parent is None
        for parameter in node.body.unit.parameters
        if not parameter.local and not parameter.is_type
    )
    return tuple(dict.fromkeys(names))


def _views(
    memories: Iterable[Memory], device: Device, rules: tuple[RuleSettings, ...]
) -> tuple[MemoryView, ...]:
    """A view of each memory; each knows the shapes of all the memories its `shape` clause speaks for."""
    views = [view_of(memory, device, _thresholds(rules, memory.span.file)) for memory in memories]
    spoken: dict[Span, set[tuple[int | None, int | None]]] = {}
    for view in views:
        stated = view.clause(Shape)
        if stated is not None:
            spoken.setdefault(stated.span, set()).add((view.memory.depth, view.memory.width))
    return tuple(
        view
        if (stated := view.clause(Shape)) is None
        else replace(view, shapes_under_clause=frozenset(spoken[stated.span]))
        for view in views
    )


def _unit_intents(design: Design) -> Iterable[UnitIntent]:
    for node in design.nodes:
        for intent in node.body.intents:
            if any(isinstance(clause, Budget) for clause in intent.clauses):
                yield UnitIntent(node.path, node.body.unit.name, intent)


def _from_problems(problems: Iterable[Problem]) -> Iterable[Finding]:
    """Findings made while reading. What was not read there is a note: it may touch no array at all."""
    for problem in problems:
        rule = rule_named(problem.rule)
        severity = rule.severity if rule is not None else Severity.WARNING
        if problem.rule == "source-not-read":
            severity = Severity.NOTE
        fixes: tuple[Fix, ...] = ()
        if problem.repair:
            fixes = (Fix(f"write `{problem.repair}`", (Edit(problem.span, problem.repair),)),)
        yield Finding(problem.rule, severity, problem.message, problem.span, help=problem.help, fixes=fixes)


def _from_design(design: Design) -> Iterable[Finding]:
    not_read = rule_named("source-not-read")
    assert not_read is not None
    for one in design.unread:
        names = ", ".join(f"`{name}`" for name in one.names)
        yield not_read.finding(
            f"{one.what} was not read, and it names {names}: accesses may be missing",
            one.span,
            help=("check the syntax", "or write it in a form memlint reads"),
        )
    for path, span in design.too_deep:
        yield not_read.finding(
            f"the hierarchy is deeper than 100 instances at `{path}`: what lies below was not read",
            span,
            help=("a unit probably instantiates itself: check its generate conditions",),
        )
    unattached = rule_named("intent-unattached")
    assert unattached is not None
    for intent, path in design.unbound:
        yield unattached.finding(
            _unbound_message(intent, path),
            intent.on_span or intent.span,
            paths=(path,),
            help=("write the path of a memory as `memlint list` shows it, from below the instance",),
        )


def _unbound_message(intent: Intent, path: str) -> str:
    if intent.on:
        return f"no memory below `{path}` matches `{intent.on}`"
    return f"there is no memory in `{path}` or below for this intent to speak for"


def _thresholds(rules: tuple[RuleSettings, ...], file: str) -> dict[str, float]:
    found: dict[str, float] = {}
    for one in rules:
        if _applies(one, file):
            found.update({key.rpartition(".")[2]: value for key, value in one.thresholds.items()})
    return found


def _applies(settings: RuleSettings, file: str) -> bool:
    return not settings.paths or any(fnmatch(file, pattern) for pattern in settings.paths)


def _with_settings(finding: Finding, rules: tuple[RuleSettings, ...]) -> Finding | None:
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


def _accepted(finding: Finding, views: Mapping[str, MemoryView]) -> bool:
    if not finding.paths or finding.rule == "acceptance-unused":
        return False
    known = [views[path] for path in finding.paths if path in views]
    return bool(known) and all(view.accepted(finding.rule) is not None for view in known)


def _merged(findings: list[Finding]) -> list[Finding]:
    """One cause, one finding: equal numbers at one place are one finding with all its instances."""
    merged: dict[object, Finding] = {}
    for finding in findings:
        key = (
            finding.rule,
            finding.span,
            finding.severity,
            finding.numbers,
            None if finding.numbers else finding.message,
        )
        known = merged.get(key)
        if known is None:
            merged[key] = finding
            continue
        paths = tuple(sorted({*known.paths, *finding.paths}))
        related = known.related + tuple(one for one in finding.related if one not in known.related)
        merged[key] = replace(known, paths=paths, related=related[:12])
    return list(merged.values())


def ordered(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings in the order every output keeps: by file, place and rule."""
    return tuple(
        sorted(findings, key=lambda one: (one.span.file, one.span.start, one.span.end, one.rule, one.paths))
    )


def _totals(views: tuple[MemoryView, ...], roots: tuple[str, ...], device: Device) -> tuple[TierTotal, ...]:
    totals: list[TierTotal] = []
    for root in roots:
        mine = [view for view in views if view.memory.path.startswith(root + ".")]
        for tier in device.on_chip():
            here = [view for view in mine if view.tier is not None and view.tier.name == tier.name]
            counted = [
                view.placement.blocks
                for view in here
                if view.placement is not None and view.placement.blocks is not None
            ]
            totals.append(
                TierTotal(
                    root,
                    tier.name,
                    sum(counted, Fraction(0)),
                    tier.blocks,
                    len(here),
                    len(here) - len(counted),
                )
            )
    return tuple(totals)
