"""Why a memory is in another tier, or takes other blocks there."""

from __future__ import annotations

from collections.abc import Iterator

from memlint.engine.differences.changes import Cause
from memlint.engine.differences.pairs import (
    Pair,
    clause_text,
    clocks_text,
    ports_text,
    read_text,
    shape_text,
)
from memlint.engine.sides import Side
from memlint.mapping.assume import ASSUMED
from memlint.reading.intent.clauses import Ecc, In, Ports, WriteLanes
from memlint.rules.view import MemoryView
from memlint.rules.wording import listed, quoted
from memlint.text.source import Span

_COUNTED = {
    "modes": "modes",
    "splits": "parts of a block",
    "ecc": "ecc",
    "clocks": "clocks",
    "read": "read style",
    "initial_contents": "contents at power-up",
    "unequal_port_widths": "port widths",
}
"""The facts of a tier that decide whether it takes a memory, and in how many blocks."""


def tier_causes(pair: Pair) -> list[Cause]:
    """The words that chose another tier; where they are the same, what their choice depends on."""
    was, now = _chooser(pair.old, pair.before), _chooser(pair.new, pair.after)
    if was is not None and now is not None and was[0] != now[0]:
        return [Cause(f"{was[0]} → {now[0]}", now[1])]
    if was is None and now is not None:
        return [Cause(f"{now[0]} was added", now[1])]
    if was is not None and now is None:
        return [Cause(f"{was[0]} is gone: the tier is assumed now", was[1], "old")]
    found = [Cause(text, pair.new.memory.span) for text in _needs(pair)]
    if was is None:
        found = [Cause(f"the tier is assumed: {one.text}", one.span) for one in [*found, *_limits(pair)]]
    return [*found, *_of_device(pair)]


def counting_causes(pair: Pair) -> list[Cause]:
    """What else than shape, ports and tier made the blocks others."""
    return [*_of_demand(pair), *_of_tier(pair)]


def _chooser(view: MemoryView, side: Side) -> tuple[str, Span] | None:
    """The words that choose a tier, and where they stand; None where it is assumed."""
    named = view.clause(In)
    if view.tier_from == "intent" and named is not None:
        return quoted(clause_text(named, side) or f"in {' or '.join(named.tiers)}"), named.span
    if view.tier_from == "attribute" and view.memory.attribute is not None:
        span = view.memory.attribute_span or view.memory.span
        return f"the attribute for {quoted(view.memory.attribute)}", span
    return None


def _needs(pair: Pair) -> Iterator[str]:
    """What the memory asks of a tier, where it asks for something else."""
    old, new = pair.old, pair.new
    for what, was, now in (
        ("", shape_text(old), shape_text(new)),
        ("", ports_text(old), ports_text(new)),
        ("read ", read_text(old), read_text(new)),
        ("clocks ", clocks_text(old.memory, pair.net_now), clocks_text(new.memory)),
        ("reset of the whole array ", _yes(old.memory.reset), _yes(new.memory.reset)),
        ("latch ", _yes(old.memory.latch), _yes(new.memory.latch)),
        ("packed ", _yes(old.memory.packed), _yes(new.memory.packed)),
    ):
        if was != now:
            yield f"{what}{was} → {now}"
    yield from (one.text for one in _of_demand(pair))


def _yes(value: object) -> str:
    return "yes" if value else "no"


def _limits(pair: Pair) -> Iterator[Cause]:
    """The limits up to which a tier is assumed."""
    for key, default in ASSUMED.items():
        was, now = (view.thresholds.get(key, default) for view in (pair.old, pair.new))
        if was != now:
            yield Cause(f"the limit {key} {was:g} → {now:g}")


def _of_demand(pair: Pair) -> Iterator[Cause]:
    old, new = pair.old.demand, pair.new.demand
    if old is None or new is None:
        return
    memory = pair.new.memory
    if old.lanes != new.lanes:
        stated = pair.new.clause(WriteLanes)
        span = memory.span if memory.lanes or stated is None else stated.span
        yield Cause(f"write lanes {_lanes(old.lanes)} → {_lanes(new.lanes)}", span)
    if old.ecc != new.ecc:
        clause = pair.new.clause(Ecc)
        yield Cause(f"ecc {old.ecc} → {new.ecc}", clause.span if clause else memory.span)
    if old.contents != new.contents:
        span = memory.contents_span or memory.span
        yield Cause(f"contents at power-up {old.contents} → {new.contents}", span)
    widths = (old.write_width, old.read_width), (new.write_width, new.read_width)
    if widths[0] != widths[1]:
        ports = pair.new.clause(Ports)
        text = f"port widths {_widths(*widths[0])} → {_widths(*widths[1])}"
        yield Cause(text, ports.span if ports else memory.span)


def _lanes(lanes: tuple[int, ...]) -> str:
    return " + ".join(str(one) for one in reversed(lanes)) or "none"


def _widths(write: int | None, read: int | None) -> str:
    shown = ["the word's" if one is None else f"{one:,}" for one in (write, read)]
    return f"w {shown[0]} r {shown[1]}"


def _of_tier(pair: Pair) -> list[Cause]:
    """Facts of the tier that the profile has others of now."""
    old, new = pair.old.tier, pair.new.tier
    if old is None or new is None or old.name != new.name:
        return []
    facts = [words for name, words in _COUNTED.items() if getattr(old, name) != getattr(new, name)]
    if not facts:
        return []
    device = pair.old.device.name, pair.new.device.name
    if device[0] != device[1]:
        return [Cause(f"device {device[0]} → {device[1]}: {quoted(new.name)} has other {listed(facts)}")]
    return [Cause(f"the profile of {device[1]} says other {listed(facts)} of {quoted(new.name)}")]


def _of_device(pair: Pair) -> list[Cause]:
    """That the device is another one, where tiers of both may have decided."""
    old, new = pair.old.device, pair.new.device
    if old.name != new.name:
        return [Cause(f"device {old.name} → {new.name}")]
    return [Cause(f"the profile of {new.name} says something else")] if old.tiers != new.tiers else []
