"""What of one memory changed, and why."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields
from fractions import Fraction

from memlint.design.memory import Access, Clock, Memory
from memlint.device.facts import Tier
from memlint.engine.changes import Cause, Change
from memlint.engine.sides import Side
from memlint.mapping.assume import ASSUMED
from memlint.reading.intent.clauses import Clause, Ecc, Holds, In, Ports, Shape, WriteLanes
from memlint.rules.totals import blocks_of
from memlint.rules.view import MemoryView
from memlint.rules.wording import amount, bits, listed, memory_ports, plural, quoted, shape
from memlint.text.source import Span

_NONE = "none"
_TIER_WORDS = {"block_bits": "bits of a block", "blocks": "blocks on the device", "splits": "parts of a block"}
_NOT_COUNTED = frozenset(("name", "title", "idle_uw", "asleep_uw", "active_uw_per_mhz", "unknown"))
"""Facts of a tier that no count follows from."""


@dataclass(frozen=True, slots=True)
class Pair:
    """A memory on both sides. `net_now` gives the new name of an old net; `shape_causes` finds what made
    the shape another, from the constants behind it."""

    old: MemoryView
    new: MemoryView
    before: Side
    after: Side
    net_now: Callable[[str], str]
    shape_causes: Callable[[], list[Cause]]


def changes_of(pair: Pair) -> tuple[Change, ...]:
    """Everything about the memory that differs, each with its causes."""
    old, new = pair.old, pair.new
    seen = [
        ("shape", shape_text(old), shape_text(new), lambda: _of_shape(pair)),
        ("ports", _ports(old), _ports(new), lambda: _of_ports(pair)),
        ("clocks", _clocks(old.memory, pair.net_now), _clocks(new.memory, str), lambda: _of_clocks(pair)),
        ("read", old.memory.read or "unknown", new.memory.read or "unknown", lambda: _of_read(pair)),
        ("tier", tier_text(old), tier_text(new), lambda: _of_tier(pair)),
    ]
    found = [
        Change(what, before, after, _once(causes()))
        for what, before, after, causes in seen
        if before != after
    ]
    if blocks_of(old) != blocks_of(new):
        reasons = _once([*_of_counting(pair), *_of_device(pair)])
        explained = any(one.what in ("shape", "ports", "tier") for one in found)
        if reasons or not explained:
            found.append(Change("blocks", blocks_text(old), blocks_text(new), reasons))
    return tuple(found)


def shape_text(view: MemoryView) -> str:
    """`8,200 x 40 in 4 banks`."""
    memory = view.memory
    if memory.depth is None or memory.width is None:
        depth = "?" if memory.depth is None else f"{memory.depth:,}"
        width = "?" if memory.width is None else f"{memory.width:,}"
        return f"{depth} x {width}"
    banks = f" in {plural(memory.banks, 'bank')}" if memory.banks > 1 else ""
    return shape(memory.depth, memory.width) + banks


def tier_text(view: MemoryView) -> str:
    """The tier's name."""
    return "unknown" if view.tier is None else view.tier.name


def blocks_text(view: MemoryView) -> str:
    """`2.5` blocks, `512 FF`, `2.5 Mibit` off the chip, or `unknown`."""
    if view.tier is not None and view.tier.role == "external":
        return "unknown" if view.memory.bits is None else bits(view.memory.bits)
    blocks = blocks_of(view)
    if blocks is None:
        return "unknown"
    is_registers = view.tier is not None and view.tier.role == "registers"
    return amount(blocks) + (" FF" if is_registers else "")


def _once(causes: list[Cause]) -> tuple[Cause, ...]:
    return tuple(dict.fromkeys(causes))


def _of_shape(pair: Pair) -> list[Cause]:
    old, new = pair.old.memory, pair.new.memory
    if new.planned:
        return [*_of_clause(pair, Shape, Holds)]
    causes = pair.shape_causes()
    if not causes and old.banks != new.banks:
        note = next((one for one in (*new.decisions, *old.decisions) if "is banks" in one.text), None)
        where = "no longer " if new.banks == 1 else ""
        causes.append(Cause(f"{where}{note.text}" if note else "it is indexed otherwise now", new.span))
    if not causes and new.unresolved and new.unresolved != old.unresolved:
        causes.append(Cause(new.unresolved, new.unresolved_span or new.span))
    return causes


def _ports(view: MemoryView) -> str:
    return memory_ports(view.memory)


def _clocks(memory: Memory, net_now: Callable[[str], str]) -> str:
    names = sorted(_clock(clock, net_now) for clock in memory.clocks)
    return ", ".join([*names, *([] if memory.clocks_known else ["unknown"])]) or _NONE


def _clock(clock: Clock | None, net_now: Callable[[str], str]) -> str:
    if clock is None:
        return "no clock"
    return net_now(clock.net) + ("" if clock.edge == "rising" else f" ({clock.edge})")


def _of_ports(pair: Pair) -> list[Cause]:
    if pair.new.memory.planned:
        return [*_of_clause(pair, Ports)]
    return [*_of_accesses(pair)]


def _of_clocks(pair: Pair) -> list[Cause]:
    found = [*_of_accesses(pair)]
    if not found and not pair.new.memory.clocks_known:
        found.append(Cause("a clock can no longer be traced to its net", pair.new.memory.span))
    return found


def _of_accesses(pair: Pair) -> Iterator[Cause]:
    """Writes and reads that came, went, or changed clocks."""
    was = _accesses(pair.old.memory, pair.net_now)
    now = _accesses(pair.new.memory, str)
    gone = Counter(key for key, _ in was) - Counter(key for key, _ in now)
    come = Counter(key for key, _ in now) - Counter(key for key, _ in was)
    for key, access in now:
        if not come[key]:
            continue
        come[key] -= 1
        kind, address, clock = key
        before = next((one for one in gone if one[:2] == key[:2] and gone[one]), None)
        if before is not None:
            gone[before] -= 1
            yield Cause(f"the {kind} at {quoted(address)} went from {before[2]} to {clock}", access.span)
        else:
            yield Cause(f"a {kind} at {quoted(address)} on {clock} was added", access.span)
    for key, access in was:
        if gone[key]:
            gone[key] -= 1
            yield Cause(f"the {key[0]} at {quoted(key[1])} on {key[2]} is gone", access.span, "old")


def _accesses(memory: Memory, net_now: Callable[[str], str]) -> list[tuple[tuple[str, str, str], Access]]:
    return [
        ((access.kind, access.address, _clock(access.clock, net_now)), access)
        for access in dict.fromkeys(access for port in memory.ports for access in port.accesses)
    ]


def _of_read(pair: Pair) -> list[Cause]:
    found = [
        *_asynchronous(pair.new.memory, "the word now {}", "new"),
        *_asynchronous(pair.old.memory, "before, the word {}", "old"),
    ]
    return found or [*_of_accesses(pair)]


def _asynchronous(memory: Memory, words: str, side: str) -> Iterator[Cause]:
    for port in memory.ports:
        for access in port.accesses:
            if access.asynchronous and access.reason:
                text = f"read at {quoted(access.address)}: {words.format(access.reason)}"
                yield Cause(text, access.reason_span or access.span, side)


def _of_tier(pair: Pair) -> list[Cause]:
    old, new = pair.old, pair.new
    was, now = _chooser(old, pair.before), _chooser(new, pair.after)
    if (was is None or now is None or was[0] != now[0]) and (was is not None or now is not None):
        if was is None or now is None:
            chooser = now or was
            assert chooser is not None
            word, side = ("was added", "new") if now is not None else ("is gone", "old")
            return [Cause(f"{chooser[0]} {word}", chooser[1], side)]
        return [Cause(f"{was[0]} → {now[0]}", now[1])]
    # The same words chose another tier, or none did: what the choice depends on changed.
    found = [Cause(text, new.memory.span) for text in _needs_changed(pair)]
    if was is None:
        found += [
            Cause(f"limit {key} {old.thresholds.get(key, default):g} → {new.thresholds.get(key, default):g}")
            for key, default in ASSUMED.items()
            if old.thresholds.get(key, default) != new.thresholds.get(key, default)
        ]
        found = [Cause(f"the tier is assumed: {one.text}", one.span) for one in found]
    return [*found, *_of_device(pair)]


def _chooser(view: MemoryView, side: Side) -> tuple[str, Span] | None:
    """The words that choose a tier, and where they stand; None where it is assumed."""
    named = view.clause(In)
    if view.tier_from == "intent" and named is not None:
        return f"`{_clause_text(named, side) or 'in ' + ' or '.join(named.tiers)}`", named.span
    if view.tier_from == "attribute" and view.memory.attribute is not None:
        span = view.memory.attribute_span or view.memory.span
        return f"the attribute for {quoted(view.memory.attribute)}", span
    return None


def _needs_changed(pair: Pair) -> Iterator[str]:
    """What the memory asks of a tier, where it asks for something else."""
    old, new = pair.old, pair.new
    for what, was, now in (
        ("", shape_text(old), shape_text(new)),
        ("", _ports(old), _ports(new)),
        ("read ", old.memory.read or "unknown", new.memory.read or "unknown"),
        ("clocks ", _clocks(old.memory, pair.net_now), _clocks(new.memory, str)),
        ("reset of the array ", _yes(old.memory.reset), _yes(new.memory.reset)),
        ("latch ", _yes(old.memory.latch), _yes(new.memory.latch)),
        ("packed ", _yes(old.memory.packed), _yes(new.memory.packed)),
    ):
        if was != now:
            yield f"{what}{was} → {now}"
    yield from (one.text for one in _of_counting(pair))


def _yes(value: object) -> str:
    return "yes" if value else "no"


def _of_counting(pair: Pair) -> Iterator[Cause]:
    """What blocks depend on besides shape, ports and tier."""
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
        yield Cause(f"ecc {_ecc(old.ecc)} → {_ecc(new.ecc)}", clause.span if clause else memory.span)
    if old.contents != new.contents:
        yield Cause(
            f"contents at power-up {old.contents} → {new.contents}", memory.contents_span or memory.span
        )
    if (old.write_width, old.read_width) != (new.write_width, new.read_width):
        ports = pair.new.clause(Ports)
        yield Cause(
            f"port widths {_widths(old.write_width, old.read_width)} → "
            f"{_widths(new.write_width, new.read_width)}",
            ports.span if ports else memory.span,
        )
    if old.clocks != new.clocks:
        yield Cause(f"clocks {_number(old.clocks)} → {_number(new.clocks)}", memory.span)
    if old.asynchronous != new.asynchronous:
        before, after = pair.old.memory.read or "unknown", memory.read or "unknown"
        yield Cause(f"read {before} → {after}", memory.span)


def _lanes(lanes: tuple[int, ...]) -> str:
    return " + ".join(str(one) for one in reversed(lanes)) or _NONE


def _ecc(word: str) -> str:
    return "in word" if word == "in word" else "yes" if word == "added" else "no"


def _widths(write: int | None, read: int | None) -> str:
    return "equal" if write is None and read is None else f"{_number(write)} w, {_number(read)} r"


def _number(value: int | None) -> str:
    return "unknown" if value is None else f"{value:,}"


def _of_device(pair: Pair) -> list[Cause]:
    """The tier's facts, where the profile has others now."""
    old, new = pair.old.tier, pair.new.tier
    if old is None or new is None or old.name != new.name:
        return []
    differing = [_fact(old, new, one.name) for one in fields(Tier) if one.name not in _NOT_COUNTED]
    facts = listed(text for text in differing if text)
    if not facts:
        return []
    names = pair.old.device.name, pair.new.device.name
    if names[0] != names[1]:
        return [Cause(f"device {names[0]} → {names[1]}: other {facts} in `{new.name}`")]
    return [Cause(f"the profile of {names[1]} says other {facts} of `{new.name}`")]


def _fact(old: Tier, new: Tier, name: str) -> str:
    if getattr(old, name) == getattr(new, name):
        return ""
    # How many blocks there are does not change how many one memory takes.
    return "" if name in ("blocks", "columns") else _TIER_WORDS.get(name, name.replace("_", " "))


def _of_clause(pair: Pair, *kinds: type[Clause]) -> Iterator[Cause]:
    """Clauses of some kinds that say something else."""
    for kind in kinds:
        was, now = pair.old.clause(kind), pair.new.clause(kind)
        if was == now:
            continue
        texts = [
            f"`{_clause_text(one, side)}`" if one is not None else "nothing"
            for one, side in ((was, pair.before), (now, pair.after))
        ]
        span = now.span if now is not None else pair.new.memory.span
        yield Cause(f"{texts[0]} → {texts[1]}", span)


def _clause_text(clause: Clause, side: Side) -> str:
    source = side.judgement.sources.get(clause.span.file)
    return " ".join(source.text[clause.span.start : clause.span.end].split()) if source is not None else ""


def block_sum(views: list[MemoryView]) -> Fraction:
    """The exact sum of the blocks that are known."""
    return sum((blocks_of(view) or Fraction(0) for view in views), Fraction(0))
