"""The base of all rules, and the registry that finds them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from memlint.rules.finding import Edit, Finding, Fix, Number, Reach, Related, Severity
from memlint.rules.view import DesignView, MemoryView
from memlint.text.source import Span

FAMILIES = ("intent", "reading", "clocks", "shape", "chains", "features", "capacity")

SMALL_BITS = 256
"""Memories of fewer bits and without an intent are left to the intent and capacity rules."""


class Rule:
    """One rule. Its docstring is its documentation (see DEVELOPERS.md for the headings).

    A rule overrides `check` (called for each memory that `speaks_of` lets through), `check_design`
    (called once), `check_acceptances` (called once, after all others), or none of them when its
    findings are made while a file is read (`Problem.rule` names it). `settings` are thresholds with
    their defaults; a setting's name is used by one rule only.
    """

    name: str
    family: str
    severity: Severity = Severity.WARNING
    settings: Mapping[str, float] = {}
    on_by_default: bool = True

    @property
    def summary(self) -> str:
        """What it finds, in one sentence."""
        return (self.__doc__ or "").partition("\n")[0]

    @property
    def always(self) -> bool:
        """Whether it also speaks below `SMALL_BITS` bits without an intent."""
        return self.family in ("intent", "capacity")

    def speaks_of(self, view: MemoryView) -> bool:
        """Whether this memory is any of the rule's business; an unknown size counts as large."""
        bits = view.memory.bits
        return self.always or view.has_intent or bits is None or bits >= SMALL_BITS

    def check(self, view: MemoryView) -> Iterable[Finding]:
        """Findings for one memory."""
        return ()

    def check_design(self, view: DesignView) -> Iterable[Finding]:
        """Findings for the design as a whole.

        Not asked again while nothing but ports, clocks, notes and decisions of memories changed: it must not
        look at how a memory is accessed.
        """
        return ()

    def check_acceptances(
        self, view: DesignView, raised: Mapping[str, frozenset[str]]
    ) -> Iterable[Finding]:
        """Findings about acceptances; `raised` has, per memory path, the rules that found something,
        accepted findings included."""
        return ()

    def setting(self, view: MemoryView | DesignView, key: str) -> Fraction:
        """A threshold: the project's, else the rule's default; exactly the decimal that was written."""
        return Fraction(str(view.thresholds.get(key, self.settings[key])))

    def finding(
        self,
        message: str,
        span: Span,
        *,
        severity: Severity | None = None,
        paths: tuple[str, ...] = (),
        related: Iterable[Related] = (),
        numbers: Mapping[str, Number] | None = None,
        help: Iterable[str] = (),
        fixes: Iterable[Fix] = (),
    ) -> Finding:
        """A finding of this rule; numbers keep their order."""
        return Finding(
            rule=self.name,
            severity=self.severity if severity is None else severity,
            message=message,
            span=span,
            paths=paths,
            related=tuple(related),
            numbers=tuple((numbers or {}).items()),
            help=tuple(help),
            fixes=tuple(fixes),
        )


@cache
def all_rules() -> tuple[Rule, ...]:
    """Every rule, in the order of the families, then by name."""
    rules: list[Rule] = []
    for family in FAMILIES:
        package = import_module(f"memlint.rules.{family}")
        for module in sorted(iter_modules(package.__path__), key=lambda one: one.name):
            rules.append(import_module(f"memlint.rules.{family}.{module.name}").RULE)
    return tuple(rules)


def rule_named(name: str) -> Rule | None:
    """The rule of that name, or None."""
    return next((rule for rule in all_rules() if rule.name == name), None)


__all__ = [
    "FAMILIES",
    "Edit",
    "Finding",
    "Fix",
    "Reach",
    "Related",
    "Rule",
    "Severity",
    "all_rules",
    "rule_named",
]
