"""Which intents speak for a memory: memlint.toml's, those on instances above it, its own declaration's."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache

from memlint.design.body import Child, Signal
from memlint.design.hierarchy import Node
from memlint.design.memory import BoundIntent, Clock
from memlint.design.scope import Scope
from memlint.design.trace_clocks import ClockTracer
from memlint.reading.facts.items import Parameter
from memlint.reading.intent.clauses import Clocks, Intent
from memlint.text.source import Span

Speaking = tuple[str, Span]
"""An intent on an instance: the unit that the instance is in, and where the intent stands."""


@dataclass(frozen=True, slots=True)
class ConfiguredIntent:
    """An `[[intent]]` of memlint.toml: the memory paths it speaks for (with `*`) and its intent."""

    paths: str
    intent: Intent

    def speaks_for(self, path: str) -> bool:
        """Whether a dotted path is one of those meant."""
        return _pattern(self.paths).fullmatch(path) is not None


@dataclass(slots=True)
class IntentBinder:
    """Binds intents to memories and remembers which intents on instances found one."""

    clocks: ClockTracer
    configured: Sequence[ConfiguredIntent] = ()
    used: set[Speaking] = field(default_factory=set)

    def bind(self, node: Node, signal: Signal, path: str) -> tuple[BoundIntent, ...]:
        """The intents for a memory of a node, the one that wins first."""
        own = signal.item.intents if not isinstance(signal.item, Parameter) else ()
        return self._bind(node, signal.scope, path, own)

    def bind_instance(self, node: Node, child: Child, path: str) -> tuple[BoundIntent, ...]:
        """The intents for an instance in a node that is a memory itself."""
        own = child.instance.intents
        # No memory below the instance will answer to these: the instance itself does.
        self.used.update((node.unit.name, intent.span) for intent in own if not intent.on)
        return self._bind(node, child.scope, path, own)

    def _bind(self, node: Node, scope: Scope, path: str, own: Iterable[Intent]) -> tuple[BoundIntent, ...]:
        found: list[BoundIntent] = []
        for one in self.configured:
            if one.speaks_for(path):
                found.append(self._bound(one.intent, node, scope, 0, "memlint.toml"))
        above = [at for at in node.above() if at.child is not None]
        for level, at in enumerate(reversed(above), start=1):
            child = at.child
            assert child is not None and at.parent is not None
            below = path[len(at.path) + 1 :]
            for intent in child.instance.intents:
                if _speaks_for(intent, below):
                    self.used.add((at.parent.unit.name, intent.span))
                    origin = f"instance {at.path}"
                    found.append(self._bound(intent, at.parent, child.scope, level, origin))
        level = len(above) + 1
        for intent in own:
            if not intent.on:
                found.append(self._bound(intent, node, scope, level, "declaration"))
        return tuple(found)

    def bind_unit(self, intent: Intent, node: Node) -> BoundIntent:
        """An intent that speaks for a planned memory of a node's unit."""
        return self._bound(intent, node, node.body.scope, 0, "plan")

    def _bound(self, intent: Intent, node: Node, scope: Scope, level: int, origin: str) -> BoundIntent:
        clocks = self._clock_names(intent, node, scope)
        nets = self._nets(node) if any(clock is None for _, clock in clocks) else ()
        return BoundIntent(intent, node.path, level, origin, clocks, node.body.unit.name, nets)

    def _nets(self, node: Node) -> tuple[tuple[str, Clock | None], ...]:
        """The one-bit ports and nets of a unit, by name, each with the net it comes from."""
        return tuple(
            (signal.item.name, self.clocks.net(node, signal.item.name, signal.scope))
            for signal in node.body.signals.values()
            if not isinstance(signal.item, Parameter)
            and not signal.item.dimensions
            and not signal.item.type.dimensions
        )

    def _clock_names(self, intent: Intent, node: Node, scope: Scope) -> tuple[tuple[str, Clock | None], ...]:
        found: list[tuple[str, Clock | None]] = []
        for clause in intent.clauses:
            if isinstance(clause, Clocks):
                for name in clause.names:
                    known = self.clocks.net(node, name.lower() if scope.language == "vhdl" else name, scope)
                    found.append((name, known))
        return tuple(found)


def _speaks_for(intent: Intent, below: str) -> bool:
    """Whether an intent on an instance means the memory at a path below it.

    Without `on` it means the only memory there could be: any directly in the instance or further down.
    """
    if not intent.on:
        return True
    return _pattern(intent.on).fullmatch(below) is not None


@cache
def _pattern(paths: str) -> re.Pattern[str]:
    """A dotted path with `[*]` for any index and `*` for any run of names."""
    text = re.escape(paths).replace(r"\[\*\]", r"\[-?\d+\]").replace(r"\*", r".*")
    return re.compile(text)


def on_instances(node: Node) -> Iterator[tuple[str, Intent, str]]:
    """The intents on instances in a node, each once: its unit's name, the intent, the path of an instance."""
    found: set[Speaking] = set()
    for child in node.body.children:
        for intent in child.instance.intents:
            speaking = node.unit.name, intent.span
            if speaking not in found:
                found.add(speaking)
                yield node.unit.name, intent, f"{node.path}.{child.name}"
