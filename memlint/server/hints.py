"""What stands behind a memory's declaration: its cost, in a few words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence, Set
from dataclasses import dataclass
from fractions import Fraction

from memlint.engine.judgement import Judgement
from memlint.rules import wording
from memlint.rules.totals import external_bits
from memlint.rules.view import MemoryView
from memlint.rules.wording import amount, listed, percent, plural
from memlint.server.preferences import KINDS
from memlint.text.source import SourceText

ALL = frozenset(KINDS)
AT_DEFAULTS = "at default parameters"
OUTSIDE = "its unit is not below the top: seen at its default parameters, and in no total"

_MOST_REASON = 60
_MOST_INSTANCES = 8
_SEPARATOR = " · "
_KINDS = {
    "read": "read style",
    "contents": "contents at power-up",
    "lanes": "write lanes",
    "widths": "port widths",
    "ecc": "ECC",
    "shape": "size",
}
"""Obstacles whose kind is no phrase of its own."""


@dataclass(frozen=True, slots=True)
class Hint:
    """A text for the end of a line (from 0); the tooltip has a line for each instance."""

    line: int
    label: str
    tooltip: str


def hints_of(judgement: Judgement, source: SourceText, kinds: Set[str] = ALL) -> tuple[Hint, ...]:
    """One hint for each line of a file on which memories are declared, in the order of the lines.

    `kinds` are those to show; a memory of which none is left to show has no hint. A memory that no top
    reaches says that it is seen at default parameters.
    """
    hints = _by_line(judgement.memories, source, kinds)
    for line, hint in _by_line(judgement.outside, source, kinds).items():
        said = f"{hint.label}{_SEPARATOR}{AT_DEFAULTS}"
        hints.setdefault(line, Hint(line, said, f"{hint.tooltip}\n{OUTSIDE}"))
    return tuple(hints[line] for line in sorted(hints))


def _by_line(views: Iterable[MemoryView], source: SourceText, kinds: Set[str]) -> dict[int, Hint]:
    lines: dict[int, dict[str, list[MemoryView]]] = {}
    for view in sorted(views, key=lambda view: (view.memory.span.start, view.memory.path)):
        if view.memory.span.file == source.file:
            line = source.position(view.memory.span.start).line - 1
            lines.setdefault(line, {}).setdefault(view.memory.name, []).append(view)
    hints = (_hint(line, by_name, kinds) for line, by_name in lines.items())
    return {hint.line: hint for hint in hints if hint.label}


def _hint(line: int, by_name: dict[str, list[MemoryView]], kinds: Set[str]) -> Hint:
    said = {name: declared(views, kinds) for name, views in by_name.items()}
    labels = [label if len(by_name) == 1 else f"{name}: {label}" for name, label in said.items() if label]
    views = [view for one in by_name.values() for view in one]
    tooltip = [f"{view.memory.path}: {one_memory(view)}" for view in views[:_MOST_INSTANCES]]
    if len(views) > _MOST_INSTANCES:
        tooltip.append(f"and {len(views) - _MOST_INSTANCES} more")
    return Hint(line, ", ".join(labels), "\n".join(tooltip))


def declared(views: Sequence[MemoryView], kinds: Set[str] = ALL) -> str:
    """The cost of one declaration: of its only instance, or what its instances take each and together."""
    if len(views) == 1:
        return one_memory(views[0], kinds)
    if not all(map(_counted, views)) and "blocks" not in kinds:
        return ""
    same = {one_memory(view, kinds) for view in views}
    if len(same) == 1 and not all(map(_counted, views)):
        return f"{same.pop()}{_SEPARATOR}{len(views)} instances"
    groups: dict[tuple[str, bool], list[MemoryView]] = {}
    for view in views:
        groups.setdefault((view.tier.name if view.tier else "", _counted(view)), []).append(view)
    if len(groups) == 1 and all(map(_counted, views)):
        return _together(views, kinds)
    if "blocks" not in kinds:
        return ""
    return ", ".join(_group(group) for group in groups.values()) + f" of {len(views)} instances"


def one_memory(view: MemoryView, kinds: Set[str] = ALL) -> str:
    """`8 bulk · chain 8 · 25 % full`, or why there is no count, which is of the kind `blocks`."""
    memory, tier, placement = view.memory, view.tier, view.placement
    if "blocks" not in kinds and not _counted(view):
        return ""
    if memory.depth is None or memory.width is None:
        return f"shape unknown: {_shortened(memory.unresolved or 'the reason is not known')}"
    if tier is None or placement is None:
        return "no tier of this device"
    if not placement.fits:
        obstacles = listed(dict.fromkeys(_KINDS.get(one.kind, one.kind) for one in placement.obstacles))
        would = "" if placement.blocks is None else f"{_SEPARATOR}would be {amount(placement.blocks)}"
        return f"does not fit {tier.name}: {obstacles}{would}"
    if tier.role == "external":
        kept = external_bits(view)
        return tier.name if kept is None else f"{tier.name}{_SEPARATOR}{_size(kept)}"
    if placement.blocks is None:
        reason = placement.because[-1] if placement.because else "the reason is not known"
        return f"{tier.name}, count unknown: {_shortened(reason)}"
    parts = []
    if "blocks" in kinds:
        parts.append(_amount(placement.blocks, tier.name))
        if (placement.copies or 1) > 1:
            parts.append(f"{placement.copies} copies")
    if "chain" in kinds and (placement.chain or 1) > 1 and tier.chain is not None:
        cut = f" in {placement.split} pieces" if (placement.split or 1) > 1 else ""
        parts.append(f"chain {placement.chain}{cut}")
    if "fill" in kinds and placement.fill is not None and tier.role != "registers":
        parts.append(f"{percent(placement.fill)} full")
    return _SEPARATOR.join([*parts, *(_assumed([view]) if parts else ())])


def _counted(view: MemoryView) -> bool:
    placement = view.placement
    return placement is not None and placement.fits and placement.blocks is not None


def _together(views: Sequence[MemoryView], kinds: Set[str]) -> str:
    """`4 x 1.5 to 6 = 15 block · 25 to 91 % full`."""
    tier = views[0].tier
    placements = [view.placement for view in views if view.placement is not None]
    assert tier is not None
    blocks = [one.blocks for one in placements if one.blocks is not None]
    each, total = _range(blocks, amount), _amount(sum(blocks, Fraction(0)), tier.name)
    parts = [f"{len(views)} x {each} = {total}"] if "blocks" in kinds else []
    chains = [one.chain for one in placements if one.chain is not None]
    if "chain" in kinds and chains and max(chains) > 1 and tier.chain is not None:
        parts.append(f"chain {_range(chains, str)}")
    fills = [one.fill for one in placements if one.fill is not None]
    if "fill" in kinds and len(fills) == len(views) and tier.role != "registers":
        parts.append(f"{_range(fills, percent).replace(' % to', ' to')} full")
    return _SEPARATOR.join([*parts, *(_assumed(views) if parts else ())])


def _group(views: Sequence[MemoryView]) -> str:
    """`2 in bulk (8 to 16)`, `1 unknown`, as part of a list of instances that differ."""
    tier = views[0].tier
    if tier is None:
        return f"{len(views)} unknown"
    if not _counted(views[0]):
        fits = views[0].placement is None or views[0].placement.fits
        return (
            f"{len(views)} in {tier.name} (unknown)" if fits else f"{len(views)} that do not fit {tier.name}"
        )
    blocks = [
        view.placement.blocks
        for view in views
        if view.placement is not None and view.placement.blocks is not None
    ]
    return f"{len(views)} in {tier.name} ({_range(blocks, amount)})"


def _amount(blocks: Fraction, tier: str) -> str:
    return f"{amount(blocks)} {_noun(tier, blocks)}"


def _size(bits: int) -> str:
    """`576 Mibit`: exact bits are in the hover."""
    return wording.bits(bits).rpartition("(")[2].rstrip(")")


def _noun(tier: str, blocks: Fraction) -> str:
    return plural(blocks, "flip-flop").rpartition(" ")[2] if tier == "registers" else tier


def _range(numbers: Sequence[Fraction] | Sequence[int], shown: Callable[[Fraction], str]) -> str:
    low, high = shown(Fraction(min(numbers))), shown(Fraction(max(numbers)))
    return low if low == high else f"{low} to {high}"


def _assumed(views: Sequence[MemoryView]) -> list[str]:
    return ["assumed"] if all(view.tier_from == "assumed" for view in views) else []


def _shortened(reason: str) -> str:
    reason = " ".join(reason.split())
    return reason if len(reason) <= _MOST_REASON else f"{reason[: _MOST_REASON - 1].rstrip()}…"
