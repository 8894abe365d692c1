"""Two states of a project → what differs between them, and why."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path

from memlint.engine.differences.brought import Difference, difference
from memlint.engine.differences.causes import changes_of
from memlint.engine.differences.changes import Amount, BlockChange, Cause, Comparison, MemoryChange
from memlint.engine.differences.matching import Matching, match
from memlint.engine.differences.pairs import Pair
from memlint.engine.differences.presence_causes import (
    Sight,
    added_causes,
    moved_causes,
    removed_causes,
    shape_causes,
)
from memlint.engine.engine import Engine
from memlint.engine.judgement import Judgement, TierTotal
from memlint.engine.sides import Side, revision_side
from memlint.engine.totals import TierSum, unit_totals
from memlint.text.order import by_number


def compare(old: Side, new: Side) -> Comparison:
    """Everything that differs between two states of a project."""
    matching = match(old.judgement.memories, new.judgement.memories)
    before, after = Sight.of(old), Sight.of(new)
    changed = [*_changed(matching, before, after), *_alone(matching, before, after)]
    findings = difference(old.judgement, new.judgement, matching)
    kept = sum(one.old is not None and one.new is not None for one in changed)
    return Comparison(
        old,
        new,
        tuple(sorted(changed, key=lambda one: by_number(one.path))),
        len(matching.pairs) - kept,
        tuple(_units(old.judgement, new.judgement)),
        tuple(_tiers(old.judgement, new.judgement)),
        findings.new,
        findings.gone,
    )


def since(
    engine: Engine, revision: str, overrides: Mapping[str, object] | None = None
) -> tuple[Callable[[Judgement], Difference], tuple[str, ...]]:
    """What tells, of a judgement of the engine's project, the findings that the change since a git revision
    brought and took away; and notes, sentences on what is not as one may think at that revision.

    A finding is new that the project did not have there, or only less severe; it comes with those of its
    paths alone for which it is. `overrides` are those that the engine's own settings were made with. Raises
    ProjectError: no git, no repository, no such revision, or a project that cannot be read there.
    """
    settings = engine.settings
    config = Path(settings.root, settings.file) if settings.file else None
    side, _ = revision_side(Path(settings.root), revision, config=config, overrides=overrides, instead=engine)
    old = side.judgement

    def brought(judgement: Judgement) -> Difference:
        return difference(old, judgement, match(old.memories, judgement.memories))

    return brought, side.notes


def _changed(matching: Matching, before: Sight, after: Sight) -> Iterator[MemoryChange]:
    origin_causes = partial(shape_causes, before=before, after=after)
    for old, new in matching.pairs:
        pair = Pair(old, new, before.side, after.side, matching.path_now)
        changes = changes_of(pair, origin_causes)
        if old.memory.path != new.memory.path:
            yield MemoryChange("moved", old, new, changes, _moved(old.memory.path, matching, after))
        elif changes:
            yield MemoryChange("changed", old, new, changes)


def _moved(path: str, matching: Matching, after: Sight) -> tuple[Cause, ...]:
    above = path
    while above and above not in matching.renamed:
        above = above.rpartition(".")[0]
    return tuple(moved_causes(above, matching.renamed[above], after)) if above else ()


def _alone(matching: Matching, before: Sight, after: Sight) -> Iterator[MemoryChange]:
    for view in matching.added:
        causes = added_causes(view.memory, before, after)
        yield MemoryChange("added", None, view, causes=tuple(dict.fromkeys(causes)))
    for view in matching.removed:
        causes = removed_causes(view.memory, before, after)
        yield MemoryChange("removed", view, None, causes=tuple(dict.fromkeys(causes)))


def _tiers(old: Judgement, new: Judgement) -> Iterator[BlockChange]:
    """Every tier that a root takes blocks of, on either side."""
    was = {(one.root, one.tier): one for one in old.totals if one.memories}
    now = {(one.root, one.tier): one for one in new.totals if one.memories}
    supply = {tier.name: tier.blocks for device in (old.device, new.device) for tier in device.on_chip()}
    for root, tier in _keys(was, now, _order(old, new)):
        before, after = _amount(was.get((root, tier))), _amount(now.get((root, tier)))
        yield BlockChange(root, tier, before, after, supply[tier])


def _units(old: Judgement, new: Judgement) -> Iterator[BlockChange]:
    """Every unit with a memory in it or below, on either side, by tier."""
    was, now = _unit_sums(old), _unit_sums(new)
    for unit, tier in _keys(was, now, _order(old, new)):
        yield BlockChange(unit, tier, was.get((unit, tier), Amount()), now.get((unit, tier), Amount()))


def _unit_sums(judgement: Judgement) -> dict[tuple[str, str], Amount]:
    return {(unit.unit, one.tier): _amount(one) for unit in unit_totals(judgement) for one in unit.tiers}


def _amount(one: TierSum | TierTotal | None) -> Amount:
    return Amount() if one is None else Amount(one.blocks, one.memories, one.unknown)


def _order(old: Judgement, new: Judgement) -> Sequence[str]:
    """The tiers in the new device's order, then those that only the old one has."""
    tiers = (tier.name for device in (new.device, old.device) for tier in device.on_chip())
    return tuple(dict.fromkeys(tiers))


def _keys(
    was: Iterable[tuple[str, str]], now: Iterable[tuple[str, str]], order: Sequence[str]
) -> list[tuple[str, str]]:
    return sorted({*was, *now}, key=lambda key: (key[0], order.index(key[1])))
