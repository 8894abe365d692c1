"""What the reports of a comparison have in common: its headline, its rows, how a change is put."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from memlint.engine.differences.changes import Amount, BlockChange, Cause, Comparison, MemoryChange
from memlint.engine.differences.pairs import blocks_text, clocks_text, ports_text, shape_text, tier_text
from memlint.engine.sides import Side
from memlint.rules.finding import Finding, Severity
from memlint.rules.view import MemoryView
from memlint.rules.wording import amount, listed, plural
from memlint.text.source import Span

UNKNOWN_CAUSE = "not known"
_SHORT_HASH = 10
_KINDS = (
    ("added", lambda one: one.kind == "added"),
    ("removed", lambda one: one.kind == "removed"),
    ("under another path", lambda one: one.kind == "moved"),
    ("reshaped", lambda one: _has(one, "shape")),
    ("in another tier", lambda one: _has(one, "tier")),
    ("changed otherwise", lambda one: one.kind == "changed" and not _has(one, "shape", "tier")),
)


@dataclass(frozen=True, slots=True)
class Row:
    """Memories that changed alike: one declaration, the same before, after and causes."""

    first: MemoryChange
    paths: tuple[str, ...]


def rows(changes: Iterable[MemoryChange]) -> list[Row]:
    """The changes, those alike as one, in order of their first paths."""
    alike: dict[object, list[MemoryChange]] = {}
    for one in changes:
        alike.setdefault(_likeness(one), []).append(one)
    return [Row(ones[0], tuple(one.path for one in ones)) for ones in alike.values()]


def _likeness(one: MemoryChange) -> object:
    memory = one.view.memory
    changes = tuple((change.what, change.before, change.after, change.causes) for change in one.changes)
    # The words of these causes name the path; where they stand says whether they are the same.
    causes = tuple((cause.span, cause.side) for cause in one.causes)
    return one.kind, memory.unit, memory.name, shape_text(one.view), blocks(one), changes, causes


def headline(comparison: Comparison) -> str:
    """The comparison in one sentence, without a full stop."""
    parts = [_memories(comparison), _findings(comparison)]
    tiers = [one for one in comparison.tiers if one.differs]
    if len({one.name for one in tiers}) == 1:
        parts.append(listed(tier_step(one) for one in tiers))
    return "; ".join(parts)


def _memories(comparison: Comparison) -> str:
    counts = [(count, word) for word, belongs in _KINDS if (count := sum(map(belongs, comparison.memories)))]
    if not counts:
        return "no memory changed"
    (count, word), *others = counts
    said = [f"{plural(count, 'memory', 'memories')} {word}"]
    return listed([*said, *(f"{count:,} {word}" for count, word in others)])


def _has(one: MemoryChange, *what: str) -> bool:
    return any(change.what in what for change in one.changes)


def _findings(comparison: Comparison) -> str:
    new, gone = comparison.new_findings, comparison.gone_findings
    if not new and not gone:
        return "no finding new or gone"
    said = f"{plural(len(new), 'new finding')} ({severities(new)})" if new else "no new finding"
    return f"{said}, {len(gone):,} gone" if gone else said


def severities(findings: Sequence[Finding]) -> str:
    """`1 error, 2 warnings`."""
    counts = [(sum(one.severity == level for one in findings), level) for level in reversed(Severity)]
    return ", ".join(plural(count, str(level)) for count, level in counts if count)


def side_name(side: Side) -> str:
    """`HEAD~1 (2f31c07d5a)`, or `working tree`."""
    return f"{side.name} ({side.commit[:_SHORT_HASH]})" if side.commit else side.name


def notes(comparison: Comparison) -> list[str]:
    """What a reader of the comparison must know of its sides."""
    old, new = comparison.old, comparison.new
    devices = old.judgement.device.name, new.judgement.device.name
    device = [f"device {devices[0]} → {devices[1]}"] if devices[0] != devices[1] else []
    return [*device, *old.notes, *new.notes]


def steps(one: MemoryChange) -> list[tuple[str, str]]:
    """What changed, and from what to what; for a memory of one side, what it is."""
    view = one.new or one.old
    if view is not None and (one.new is None or one.old is None):
        return [
            ("shape", shape_text(view)),
            ("ports", ports_text(view)),
            ("clocks", clocks_text(view.memory)),
        ]
    found = [(change.what, f"{change.before} → {change.after}") for change in one.changes]
    # Blocks have a line or column of their own, whatever changed.
    return [step for step in found if step[0] != "blocks"]


def blocks(one: MemoryChange) -> str:
    """`2 → 3 in bulk`, `13 in bulk → 11 in block`, `3 in block`."""
    if one.old is None or one.new is None:
        return _placed(one.view)
    if tier_text(one.old) != tier_text(one.new):
        return f"{_placed(one.old)} → {_placed(one.new)}"
    before, after = blocks_text(one.old), blocks_text(one.new)
    return _placed(one.new) if before == after else f"{before} → {_placed(one.new)}"


def _placed(view: MemoryView) -> str:
    return f"{blocks_text(view)} in {tier_text(view)}" if view.tier is not None else "unknown"


def causes(one: MemoryChange) -> list[tuple[str, tuple[Cause, ...]]]:
    """The causes, each once, after what they are causes of; empty words where that goes without saying."""
    found: list[tuple[str, tuple[Cause, ...]]] = [("", one.causes)] if one.kind != "changed" else []
    for change in one.changes:
        known = [causes for _, causes in found]
        if change.causes and change.causes in known:
            continue
        found.append((change.what if len(one.changes) > 1 else "", change.causes))
    return found


def tier_step(one: BlockChange) -> str:
    """`bulk 72 → 76 of 96`."""
    supply = "" if one.available is None else f" of {amount(one.available)}"
    return f"{one.tier} {amount_text(one.before)} → {amount_text(one.after)}{supply}"


def amount_text(one: Amount) -> str:
    """Blocks, with those memories that could not be counted."""
    unknown = f" and {plural(one.unknown, 'memory', 'memories')} not counted" if one.unknown else ""
    return amount(one.blocks) + unknown


def step_text(one: BlockChange) -> str:
    """How many blocks more or fewer, with the sign."""
    step = one.after.blocks - one.before.blocks
    return f"{'+' if step > 0 else '-' if step < 0 else ''}{amount(abs(step))}"


def unit_changes(comparison: Comparison) -> list[BlockChange]:
    """Blocks by unit where they differ; not those of units that are a root, whose totals say the same."""
    roots = {*comparison.old.judgement.roots, *comparison.new.judgement.roots}
    return [one for one in comparison.units if one.differs and one.name not in roots]


def place(span: Span, side: Side, shown: Callable[[str], str] = str) -> str:
    """`rtl/sorter_pkg.sv:31`; a place at a revision as git writes it, `HEAD~1:rtl/sorter_pkg.sv:31`."""
    source = side.judgement.sources.get(span.file)
    file = f"{side.name}:{span.file}" if side.commit else shown(span.file)
    return file if source is None else f"{file}:{source.position(span.start).line}"


def side_of(cause: Cause, comparison: Comparison) -> Side:
    """The side that a cause's place is on."""
    return comparison.new if cause.side == "new" else comparison.old
