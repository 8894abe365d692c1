"""What stands above units and instances: the blocks they take, tier by tier."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from memlint.design.hierarchy import Node
from memlint.engine.totals import Place, TierSum, instance_totals
from memlint.reading.intent.clauses import Budget
from memlint.rules.wording import amount, plural
from memlint.server.analysis import Judged
from memlint.server.hints import AT_DEFAULTS
from memlint.text.source import Span

_SEPARATOR = " · "


@dataclass(frozen=True, slots=True)
class Lens:
    """A text above a name."""

    span: Span
    title: str


def lenses_of(judged: Judged, file: str) -> tuple[Lens, ...]:
    """A lens for each unit of a file with memories in it or below, or with a budget, and for each instance
    with memories in it or below, in the order of the file."""
    places = {place.path: place for place in instance_totals(judged.judgement)}
    found = [*_units(judged, file, places), *_instances(judged, file, places)]
    return tuple(sorted(found, key=lambda one: one.span.start))


def _units(judged: Judged, file: str, places: dict[str, Place]) -> Iterator[Lens]:
    nodes: dict[Span, list[Node]] = {}
    for node in judged.design.nodes:
        nodes.setdefault(node.body.unit.span, []).append(node)
    for span, instances in nodes.items():
        if span.file != file:
            continue
        limits = _limits(instances)
        here = [places[node.path] for node in instances if node.path in places]
        if not here and not limits:
            continue
        parts = _tiers([place.tiers for place in here], limits)
        if len(instances) > 1:
            parts.append(f"in each of {len(instances)} instances")
        missing = sorted({name for place in here for name in place.missing})
        if missing:
            parts.append(f"not counted: {', '.join(missing)}")
        if judged.alone:
            parts.append(f"in no project's sources, judged {AT_DEFAULTS}")
        if parts:
            yield Lens(span, _SEPARATOR.join(parts))
    yield from _outside(judged, file)


def _outside(judged: Judged, file: str) -> Iterator[Lens]:
    """Units with an intent that the top does not reach say so."""
    units = {view.memory.unit for view in judged.judgement.outside if view.memory.span.file == file}
    reached = {node.body.unit.name for node in judged.design.nodes}
    facts = judged.facts_of(file)
    for unit in facts.units if facts is not None else ():
        if unit.name in units and unit.name not in reached and unit.kind != "architecture":
            tops = ", ".join(judged.design.roots)
            yield Lens(unit.span, f"not below the top {tops}: seen {AT_DEFAULTS}")


def _instances(judged: Judged, file: str, places: dict[str, Place]) -> Iterator[Lens]:
    nodes: dict[Span, list[Node]] = {}
    for node in judged.design.nodes:
        if node.child is not None:
            nodes.setdefault(node.child.instance.span, []).append(node)
    for span, instances in nodes.items():
        here = [places[node.path] for node in instances if node.path in places]
        if span.file != file or not here:
            continue
        parts = _tiers([place.tiers for place in here], {})
        if len(instances) > 1:
            parts.append(f"in each of {len(instances)}")
        if parts:
            yield Lens(span, _SEPARATOR.join(parts))


def _limits(instances: Sequence[Node]) -> dict[str, Fraction]:
    """The tightest budget of a unit for each tier."""
    found: dict[str, Fraction] = {}
    for intent in instances[0].body.intents:
        for clause in intent.clauses:
            for tier, most in clause.limits if isinstance(clause, Budget) else ():
                found[tier] = min(most, found.get(tier, most))
    return found


def _tiers(totals: Sequence[Sequence[TierSum]], limits: dict[str, Fraction]) -> list[str]:
    """`16 of 24 bulk`, `1 to 3 block`: each tier with its budget; registers are flip-flops."""
    names = dict.fromkeys([*(one.tier for sums in totals for one in sums), *limits])
    parts = []
    for name in names:
        sums = [next((one for one in sums if one.tier == name), None) for sums in totals]
        blocks = [one.blocks if one is not None else Fraction(0) for one in sums] or [Fraction(0)]
        low, high = amount(min(blocks)), amount(max(blocks))
        each = low if low == high else f"{low} to {high}"
        of = f" of {amount(limits[name])}" if name in limits else ""
        unit = plural(max(blocks), "flip-flop").rpartition(" ")[2] if name == "registers" else name
        unknown = max((one.unknown for one in sums if one is not None), default=0)
        parts.append(f"{each}{of} {unit}" + (f" and {unknown} unknown" if unknown else ""))
    return parts


def summary(sums: Sequence[TierSum]) -> str:
    """The blocks of a total in a few words."""
    return _SEPARATOR.join(_tiers([sums], {}))
