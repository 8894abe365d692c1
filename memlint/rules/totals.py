"""Blocks taken below a place in the hierarchy, tier by tier."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from memlint.device.facts import Tier
from memlint.rules import wording
from memlint.rules.finding import Related
from memlint.rules.view import DesignView, MemoryView
from memlint.text.source import Span

MOST_PLACES = 5
"""The declarations of a total that are shown as related places."""


@dataclass(frozen=True, slots=True)
class Total:
    """What the memories below a path take of one tier.

    `blocks` and `uniform_blocks` are exact sums over the memories that could be counted (uniform None
    when one of them has none); `memories` are those, largest first; `unknown` counts the others on the
    tier, and `homeless` are memories whose tier is unknown: they may take blocks of this one.
    """

    tier: str
    blocks: Fraction
    uniform_blocks: Fraction | None
    memories: tuple[MemoryView, ...]
    unknown: int
    homeless: tuple[MemoryView, ...] = ()

    @property
    def least(self) -> str:
        """`at least `, where something may come on top."""
        return "at least " if self.unknown or self.homeless else ""


def below(path: str, ancestor: str) -> bool:
    """Whether a memory or instance lies in an instance, at any depth."""
    return path == ancestor or path.startswith(ancestor + ".")


def by_root(paths: Iterable[str], roots: Iterable[str]) -> dict[str, list[int]]:
    """Which paths, by their numbers, lie below each root; roots with none are left out.

    Thousands of roots are usual where no top is named, so no path is held against every one of them.
    """
    known = frozenset(roots)
    if len(known) == 1:
        (root,) = known
        start = f"{root}."
        held = [number for number, path in enumerate(paths) if path.startswith(start)]
        return {root: held} if held else {}
    found: dict[str, list[int]] = {}
    for number, path in enumerate(paths):
        end = path.find(".")
        while end > 0:
            if path[:end] in known:
                found.setdefault(path[:end], []).append(number)
            end = path.find(".", end + 1)
    return found


def added(numbers: Iterable[Fraction]) -> Fraction:
    """The exact sum. Whole numbers are added as such: a sum over thousands of fractions takes its time."""
    sums: dict[int, int] = {}
    for one in numbers:
        sums[one.denominator] = sums.get(one.denominator, 0) + one.numerator
    return sum((Fraction(number, below) for below, number in sums.items()), Fraction(0))


def total(memories: Sequence[MemoryView], tier: str) -> Total:
    """The sum of these memories' blocks on one tier; memories on other tiers are left out."""
    placed = [one for one in memories if one.tier is not None and one.tier.name == tier]
    counted = [one for one in placed if blocks_of(one) is not None]
    uniform = [one.placement.uniform_blocks if one.placement else None for one in counted]
    known = [one for one in uniform if one is not None]
    return Total(
        tier=tier,
        blocks=added(blocks_of(one) or Fraction(0) for one in counted),
        uniform_blocks=added(known) if len(known) == len(uniform) else None,
        memories=tuple(sorted(counted, key=lambda one: (-_plain(blocks_of(one)), one.memory.path))),
        unknown=len(placed) - len(counted),
        homeless=tuple(one for one in memories if one.tier is None),
    )


def _plain(blocks: Fraction | None) -> Fraction | int:
    """The same number as an integer where it is one: thousands of fractions take their time to compare."""
    return 0 if blocks is None else blocks.numerator if blocks.denominator == 1 else blocks


def blocks_of(view: MemoryView) -> Fraction | None:
    """Blocks of one memory on its tier, None where they are unknown."""
    return view.placement.blocks if view.placement is not None else None


def external_bits(view: MemoryView) -> int | None:
    """Bits a memory takes off the chip, check bits included; None while its shape is not known."""
    demand, placement = view.demand, view.placement
    if demand is None or placement is None or placement.word is None:
        return None
    return demand.depth * placement.word * demand.banks


def supply(view: DesignView, tier: Tier) -> Fraction | None:
    """Blocks of a tier the design may use: the device's, less what is reserved; None when unknown."""
    if tier.blocks is None:
        return None
    return max(Fraction(0), tier.blocks - view.reserve.get(tier.name, Fraction(0)))


def planned_part(sums: Total) -> str:
    """How much of a total has no RTL yet, as a sentence; empty when all of it has."""
    planned = [one for one in sums.memories if one.memory.planned]
    if not planned:
        return ""
    blocks = sum((blocks_of(one) or Fraction(0) for one in planned), Fraction(0))
    names = wording.listed(wording.quoted(one.memory.name) for one in planned[:MOST_PLACES])
    more = len(planned) - MOST_PLACES
    others = f" and {wording.plural(more, 'other')}" if more > 0 else ""
    return f"{wording.plural(blocks, 'block')} of these are planned, without RTL yet: {names}{others}"


def largest(memories: Sequence[MemoryView]) -> list[Related]:
    """Where the blocks go: the declarations that take most, over all their instances."""
    taken: dict[Span, list[Fraction]] = {}
    names: dict[Span, str] = {}
    for one in memories:
        blocks = blocks_of(one)
        if blocks is not None:
            names[one.memory.span] = one.memory.name
            taken.setdefault(one.memory.span, []).append(blocks)
    sums = {span: added(blocks) for span, blocks in taken.items()}
    most = sorted(taken, key=lambda span: (-sums[span], span.file, span.start))[:MOST_PLACES]
    return [Related(span, _takes(names[span], taken[span])) for span in most]


def _takes(name: str, blocks: list[Fraction]) -> str:
    times = f" in {len(blocks)} instances" if len(blocks) > 1 else ""
    return f"`{name}` takes {wording.plural(sum(blocks, Fraction(0)), 'block')}{times}"


def not_counted(
    view: DesignView, path: str, unknown: int, homeless: Sequence[MemoryView] = ()
) -> str:
    """What a total leaves out, as a sentence; empty when it leaves out nothing."""
    units = sorted(
        unit.name for unit in view.missing if any(below(instance, path) for instance in unit.instances)
    )
    parts = [
        *([wording.plural(unknown, "memory", "memories") + " whose blocks are unknown"] if unknown else []),
        *([without_tier(homeless)] if homeless else []),
        *(f"unit `{name}`, which has no source here" for name in units),
    ]
    return f"not counted: {wording.listed(parts)}" if parts else ""


def without_tier(homeless: Sequence[MemoryView]) -> str:
    """Memories whose tier is unknown, the first of them by name."""
    shown = [wording.quoted(one.memory.path) for one in homeless[:MOST_PLACES]]
    more = len(homeless) - len(shown)
    names = f"{', '.join(shown)} and {more} more" if more else wording.listed(shown)
    count = wording.plural(len(homeless), "memory", "memories")
    return f"{count} whose tier is unknown ({names})"
