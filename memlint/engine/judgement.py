"""The engine's answer: what both fronts print."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from memlint.design.memory import NotMemory
from memlint.device.facts import Device
from memlint.rules.finding import Finding
from memlint.rules.view import MemoryView, MissingUnit, UnitIntent
from memlint.text.source import SourceText


@dataclass(frozen=True, slots=True)
class TierTotal:
    """Blocks used on a tier by one root: exact sum; `unknown` memories could not be counted."""

    root: str
    tier: str
    blocks: Fraction
    available: int | None
    memories: int
    unknown: int


@dataclass(frozen=True)
class Judgement:
    """Everything about one state of the project. Findings and memories are in their final order:
    findings by file, line, column, rule; memories by path. `instances` are (path, unit) of every instance,
    roots included. `missing_includes` are names of included files, as written, that were not found.
    `outside` are memories of units that the top does not reach, at their default parameters: they are in no
    total, and of their findings only those about intents are told. `reserve` are blocks by tier that the
    project leaves free."""

    device: Device
    memories: tuple[MemoryView, ...]
    not_memories: tuple[NotMemory, ...]
    findings: tuple[Finding, ...]
    accepted: tuple[Finding, ...]
    missing: tuple[MissingUnit, ...]
    roots: tuple[str, ...]
    totals: tuple[TierTotal, ...]
    sources: Mapping[str, SourceText] = field(repr=False)
    instances: tuple[tuple[str, str], ...] = ()
    unit_intents: tuple[UnitIntent, ...] = ()
    root_parameters: tuple[str, ...] = ()
    missing_includes: tuple[str, ...] = ()
    outside: tuple[MemoryView, ...] = ()
    reserve: Mapping[str, Fraction] = field(default_factory=dict)
