"""An elaborated design and a device → the judgement: views, findings, acceptances, totals, in order."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import fields
from fractions import Fraction
from operator import attrgetter, is_

from memlint.design.design import Design
from memlint.design.hierarchy import Node
from memlint.design.library_update import same_with_spans
from memlint.design.memory import Memory
from memlint.device.facts import Device
from memlint.engine.judgement import Judgement, TierTotal
from memlint.engine.raised import Raised
from memlint.engine.rule_settings import thresholds
from memlint.engine.settings import Settings
from memlint.engine.told import Told
from memlint.reading.facts.items import Problem
from memlint.reading.facts.moved import unmoved
from memlint.reading.intent.clauses import Intent
from memlint.rules.base import all_rules, rule_named
from memlint.rules.finding import Edit, Finding, Fix, Related, Severity
from memlint.rules.reading.unit_not_found import MOST_PLACES
from memlint.rules.totals import added, blocks_of, by_root
from memlint.rules.view import DesignView, MemoryView, MissingUnit, UnitIntent
from memlint.text.source import SourceText

# How a memory is used, line by line, is no affair of rules about the design as a whole.
_IN_PASSING = frozenset(("ports", "clocks", "notes", "decisions", "compared"))
_LOOKED_AT = (
    *(attrgetter(f"memory.{one.name}") for one in fields(Memory) if one.name not in _IN_PASSING),
    *map(attrgetter, ("tier", "tier_from", "clauses", "accepts", "demand", "placement", "thresholds")),
)


class Judging:
    """Judges one project again and again. What is found about a memory is remembered while it stays the same
    object."""

    def __init__(self, device: Device, settings: Settings) -> None:
        self._device = device
        self._thresholds = thresholds(settings.rules, "")
        self._reserve = {name: Fraction(str(count)) for name, count in settings.reserve.items()}
        self._raised = Raised(device, settings.rules)
        self._told = Told(settings.rules)
        self._whole: DesignView | None = None
        self._found: list[tuple[Finding, ...]] = []
        self._totals: tuple[TierTotal, ...] = ()
        self._instances: tuple[tuple[Node, ...], tuple[tuple[str, str], ...]] = (), ()

    def judge(
        self, design: Design, problems: Iterable[Problem], sources: Mapping[str, SourceText]
    ) -> Judgement:
        """Everything about one state of the project, in its final order."""
        views = self._raised.views(design.memories)
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
            self._device,
            views,
            design.not_memories,
            missing,
            design.roots,
            self._thresholds,
            tuple(_unit_intents(design)),
            self._reserve,
        )
        raised = [*_from_problems(problems), *_from_design(design)]
        of_design = self._of_design(whole)
        for found, more in zip(self._raised.findings(), of_design, strict=True):
            raised.extend(found)
            raised.extend(more)
        accepting = {view.memory.path for view in views if view.accepts}
        by_rule = _by_rule(raised, accepting)
        for rule in all_rules():
            raised.extend(rule.check_acceptances(whole, by_rule))
        by_path = {view.memory.path: view for view in views} if accepting else {}
        kept, accepted = self._told.told(raised, by_path, sources)
        return Judgement(
            self._device,
            views,
            design.not_memories,
            kept,
            accepted,
            missing,
            design.roots,
            self._totals,
            sources,
            self._instances_of(design),
            whole.unit_intents,
            _root_parameters(design),
            reserve=whole.reserve,
        )

    def _of_design(self, whole: DesignView) -> list[tuple[Finding, ...]]:
        """What each rule finds about the design as a whole; the same as before where it is the same whole."""
        before = self._whole
        if (
            before is None
            or not _alike(before.memories, whole.memories)
            or not _same(before.not_memories, whole.not_memories)
            or [(one.path, id(one.intent)) for one in before.unit_intents]
            != [(one.path, id(one.intent)) for one in whole.unit_intents]
            or before.missing != whole.missing
            or before.roots != whole.roots
        ):
            self._found = [tuple(rule.check_design(whole)) for rule in all_rules()]
            self._totals = _totals(whole.memories, whole.roots, self._device)
        self._whole = whole
        return self._found

    def _instances_of(self, design: Design) -> tuple[tuple[str, str], ...]:
        if self._instances[0] is not design.nodes:
            instances = tuple((node.path, node.unit.name) for node in design.nodes)
            self._instances = design.nodes, instances
        return self._instances[1]


def _same(before: Sequence[object], now: Sequence[object]) -> bool:
    """Whether these are the very same objects."""
    return len(before) == len(now) and all(map(is_, before, now))


def _alike(before: Sequence[MemoryView], now: Sequence[MemoryView]) -> bool:
    """Whether these differ in nothing that `Rule.check_design` may look at."""
    return len(before) == len(now) and all(
        all(same_with_spans(part(one), part(other)) for part in _LOOKED_AT)
        for one, other in zip(before, now, strict=True)
        if one is not other
    )


def _by_rule(raised: Iterable[Finding], accepting: Collection[str]) -> Mapping[str, frozenset[str]]:
    """The rules that found something about each memory that accepts anything."""
    seen: dict[str, set[str]] = {}
    for finding in raised if accepting else ():
        for path in finding.paths:
            if path in accepting:
                seen.setdefault(path, set()).add(finding.rule)
    return {path: frozenset(rules) for path, rules in seen.items()}


def _root_parameters(design: Design) -> tuple[str, ...]:
    names = (
        parameter.name
        for node in design.nodes
        if node.parent is None
        for parameter in unmoved(node.unit).parameters
        if not parameter.local and not parameter.is_type
    )
    return tuple(dict.fromkeys(names))


def _unit_intents(design: Design) -> Iterable[UnitIntent]:
    for node, intent in design.budgets:
        yield UnitIntent(node.path, node.unit.name, intent)


def _from_problems(problems: Iterable[Problem]) -> Iterable[Finding]:
    """Findings made while reading. What was not read there is a note: it may touch no array at all.

    What hides declarations is said once a file, where it stands first.
    """
    said: set[tuple[str, str]] = set()
    missing: dict[str, list[Problem]] = {}
    for problem in problems:
        if problem.missing:
            missing.setdefault(problem.missing, []).append(problem)
            continue
        if problem.hides:
            if (problem.message, problem.span.file) in said:
                continue
            said.add((problem.message, problem.span.file))
        rule = rule_named(problem.rule)
        severity = rule.severity if rule is not None else Severity.WARNING
        if problem.rule == "source-not-read" and not problem.hides:
            severity = Severity.NOTE
        fixes: tuple[Fix, ...] = ()
        if problem.repair:
            fixes = (Fix(f"write `{problem.repair}`", (Edit(problem.span, problem.repair),)),)
        yield Finding(problem.rule, severity, problem.message, problem.span, help=problem.help, fixes=fixes)
    yield from map(_not_included, missing.values())


def _not_included(problems: Sequence[Problem]) -> Finding:
    """One finding for an included file that is not there, however many files include it."""
    first = problems[0]
    spans = list(dict.fromkeys(one.span for one in problems))
    files = len({span.file for span in spans})
    also = f"; {files} files include it" if files > 1 else ""
    return Finding(
        first.rule,
        Severity.NOTE,
        f"{first.message}{also}",
        first.span,
        related=tuple(Related(span, "also included here") for span in spans[1 : 1 + MOST_PLACES]),
        numbers=(("files", files),),
        help=first.help,
    )


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


def _totals(views: tuple[MemoryView, ...], roots: tuple[str, ...], device: Device) -> tuple[TierTotal, ...]:
    totals: list[TierTotal] = []
    held = by_root((view.memory.path for view in views), roots)
    for root in roots:
        by_tier: dict[str, list[MemoryView]] = {}
        for at in held.get(root, ()):
            tier = views[at].tier
            if tier is not None:
                by_tier.setdefault(tier.name, []).append(views[at])
        for tier in device.on_chip():
            here = by_tier.get(tier.name, [])
            counted = [blocks for view in here if (blocks := blocks_of(view)) is not None]
            totals.append(
                TierTotal(
                    root, tier.name, added(counted), tier.blocks, len(here), len(here) - len(counted)
                )
            )
    return tuple(totals)
