"""A view of every memory and what the rules find about each, remembered while the memory stays the same."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from memlint.design.memory import Memory
from memlint.device.facts import Device
from memlint.engine.placing import view_of
from memlint.engine.rule_settings import thresholds
from memlint.engine.settings import RuleSettings
from memlint.reading.intent.clauses import Shape
from memlint.rules.base import all_rules
from memlint.rules.finding import Finding
from memlint.rules.view import MemoryView

_Shapes = dict[tuple[str, int, int], set[tuple[int | None, int | None]]]


@dataclass(eq=False, slots=True)
class Viewed:
    """A memory's view, and what each rule (by its number) that found something found; None: not yet asked."""

    view: MemoryView
    stated: Shape | None
    found: tuple[tuple[int, tuple[Finding, ...]], ...] | None = None


class Raised:
    """The views of the memories of one design."""

    def __init__(self, device: Device, rules: tuple[RuleSettings, ...]) -> None:
        self._device = device
        self._rules = rules
        self._known: dict[int, Viewed] = {}

    def views(self, memories: Iterable[Memory]) -> tuple[MemoryView, ...]:
        """A view of each memory; each knows the shapes of all the memories its `shape` clause speaks for."""
        before = self._known
        known = self._known = {id(one): before.get(id(one)) or self._viewed(one) for one in memories}
        stated = [one for one in known.values() if one.stated is not None]
        spoken: _Shapes = {}
        for one in stated:
            spoken.setdefault(_place(one.stated), set()).add((one.view.memory.depth, one.view.memory.width))
        for one in stated:
            shapes = spoken[_place(one.stated)]
            if one.view.shapes_under_clause != shapes:
                one.view = replace(one.view, shapes_under_clause=frozenset(shapes))
                one.found = None
        return tuple([one.view for one in known.values()])

    def findings(self) -> list[list[Finding]]:
        """What each rule finds, memory by memory, for the views that were asked for last."""
        rules = all_rules()
        found: list[list[Finding]] = [[] for _ in rules]
        for one in self._known.values():
            if one.found is None:
                one.found = _found(one.view)
            for number, findings in one.found:
                found[number].extend(findings)
        return found

    def _viewed(self, memory: Memory) -> Viewed:
        view = view_of(memory, self._device, thresholds(self._rules, memory.span.file))
        return Viewed(view, view.clause(Shape))


def _found(view: MemoryView) -> tuple[tuple[int, tuple[Finding, ...]], ...]:
    found = (
        (number, tuple(rule.check(view)))
        for number, rule in enumerate(all_rules())
        if rule.speaks_of(view)
    )
    return tuple((number, findings) for number, findings in found if findings)


def _place(clause: Shape | None) -> tuple[str, int, int]:
    assert clause is not None
    return clause.span.file, clause.span.start, clause.span.end
