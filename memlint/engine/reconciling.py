"""Our counts against those of a build: where they agree, and what explains it where they do not."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction
from math import ceil

from memlint.device.facts import REGISTERS, Device, Tier
from memlint.engine.counts import Counted
from memlint.engine.judgement import Judgement
from memlint.engine.settings import MeasuredCount
from memlint.mapping.alternatives import foldings
from memlint.mapping.demand import Demand, Placement
from memlint.mapping.place import place
from memlint.rules.near import by_likeness
from memlint.rules.view import MemoryView
from memlint.rules.wording import amount, plural, shape


class Verdict(Enum):
    """`AGREES`: our count, the fewest blocks or those of one shape. `EXPLAINED`: another way to cut the
    same memory gives the built count. `ACCEPTED`: memlint.toml knows it. `OUTLIER`: none of these."""

    AGREES = "agrees"
    EXPLAINED = "explained"
    ACCEPTED = "accepted"
    OUTLIER = "outlier"


@dataclass(frozen=True, slots=True)
class Compared:
    """A memory and what was built of it: `built` by tier in the table's order, `because` in a sentence."""

    view: MemoryView
    built: tuple[tuple[str, Fraction], ...]
    verdict: Verdict
    because: str


@dataclass(frozen=True, slots=True)
class Reconciliation:
    """`compared` memories by path; `unmatched` rows with the nearest paths; `unbuilt` memories without a
    row; `unused` acceptances, whose memory or count is not in the table."""

    compared: tuple[Compared, ...]
    unmatched: tuple[tuple[Counted, tuple[str, ...]], ...]
    unbuilt: tuple[MemoryView, ...]
    unused: tuple[MeasuredCount, ...]

    def of(self, verdict: Verdict) -> tuple[Compared, ...]:
        """The memories of one verdict."""
        return tuple(one for one in self.compared if one.verdict is verdict)


def reconcile(
    judgement: Judgement, rows: Iterable[Counted], measured: Sequence[MeasuredCount] = ()
) -> Reconciliation:
    """Compare a table of built counts with a judged design.

    A path may be written with `/`, without its root, without the array's name where that leaves one
    memory, or with more behind it (`….mem[3]`); rows of one memory and tier are added up.
    """
    views = {view.memory.path: view for view in judgement.memories}
    built: dict[str, dict[str, Fraction]] = {}
    unmatched: list[tuple[Counted, tuple[str, ...]]] = []
    for row in rows:
        path = _match(row.path, views)
        if path is None:
            unmatched.append((row, tuple(by_likeness(row.path, views)[:3])))
            continue
        tiers = built.setdefault(path, {})
        tiers[row.tier] = tiers.get(row.tier, Fraction(0)) + row.blocks
    known = {one.memory: one for one in measured}
    compared = tuple(
        _compared(views[path], tuple(tiers.items()), known.get(path), judgement.device)
        for path, tiers in sorted(built.items())
    )
    used = {one.view.memory.path for one in compared if one.verdict is Verdict.ACCEPTED}
    return Reconciliation(
        compared,
        tuple(unmatched),
        tuple(view for path, view in views.items() if path not in built and not view.memory.planned),
        tuple(one for one in measured if one.memory not in used),
    )


def _match(written: str, views: Mapping[str, MemoryView]) -> str | None:
    path = written.strip().replace("/", ".").strip(".")
    if path in views:
        return path
    lowered = path.lower()
    for fits in (
        lambda known: known == lowered,
        lambda known: known.endswith(f".{lowered}"),
        lambda known: known.startswith(f"{lowered}."),
        lambda known: lowered.startswith((f"{known}.", f"{known}[")),
        lambda known: f".{lowered}." in known,
    ):
        found = [known for known in views if fits(known.lower())]
        if len(found) == 1:
            return found[0]
    return None


def _compared(
    view: MemoryView,
    built: tuple[tuple[str, Fraction], ...],
    accepted: MeasuredCount | None,
    device: Device,
) -> Compared:
    own = view.tier.name if view.tier else ""
    tier, blocks = next((one for one in built if one[0] == own), max(built, key=lambda one: one[1]))
    others = [f"{amount(count)} in {name}" for name, count in built if name != tier]
    beside = f"; also {', '.join(others)}" if others else ""
    if accepted is not None and (accepted.tier, accepted.blocks) == (tier, blocks):
        return Compared(view, built, Verdict.ACCEPTED, accepted.because)
    stale = ""
    if accepted is not None:
        stale = f"; accepted were {plural(accepted.blocks, 'block')} of {accepted.tier}"
    verdict, because = _verdict(view, tier, blocks, device)
    return Compared(view, built, verdict, f"{because}{beside}{stale}")


def _verdict(view: MemoryView, name: str, blocks: Fraction, device: Device) -> tuple[Verdict, str]:
    tier, demand = device.tier(name), view.demand
    if demand is None or tier is None:
        return Verdict.OUTLIER, f"not counted here: {view.memory.unresolved or 'its shape is not known'}"
    placement = view.place(tier)
    here = view.tier is not None and view.tier.name == name
    found = _agreement(placement, blocks) or next(
        _explanations(demand, tier, placement, blocks, device), None
    )
    if here and found is not None:
        agrees = _agreement(placement, blocks) is not None
        return (Verdict.AGREES if agrees else Verdict.EXPLAINED), found
    if here:
        counted = "an unknown number" if placement.blocks is None else amount(placement.blocks)
        return Verdict.OUTLIER, f"counted are {counted}, and no cut that memlint knows gives {amount(blocks)}"
    meant = f"meant for {view.tier.name}" if view.tier is not None else "without a tier here"
    if view.placement is not None and view.placement.obstacles:
        meant += f", which does not take it ({'; '.join(one.text for one in view.placement.obstacles)})"
    where = "registers, a flip-flop a bit" if tier is REGISTERS else name
    same = f": {found}" if found is not None and tier is not REGISTERS else ""
    text = f"built in {where}, {meant}{same}"
    # A tier that nobody chose is no promise that a build could break.
    is_open = view.tier_from != "intent" and view.tier_from != "attribute"
    return (Verdict.EXPLAINED if is_open and found is not None else Verdict.OUTLIER), text


def _agreement(placement: Placement, blocks: Fraction) -> str | None:
    """Whether it is one of the two counts that memlint prints."""
    least, uniform = placement.blocks, placement.uniform_blocks
    if least is None:
        return None
    if blocks == least:
        if placement.tier == REGISTERS.name:
            return "registers: a flip-flop a bit"
        return (
            "uniform: one shape for all"
            if uniform == least
            else "mixed: the fewest blocks, of several shapes"
        )
    if uniform is not None and blocks == uniform:
        return "uniform: one shape for all" + (
            "" if placement.uniform_shape is None else f", {shape(*placement.uniform_shape)}"
        )
    if blocks == ceil(least):
        return "the part of a block rounded up"
    return None


def _explanations(
    demand: Demand, tier: Tier, placement: Placement, blocks: Fraction, device: Device
) -> Iterator[str]:
    """Other ways to build the same memory on the tier that take exactly so many blocks."""
    if tier is REGISTERS or tier.role == "external":
        return
    copies = placement.copies or 1
    for fold in foldings(demand, tier, device):
        if fold.blocks == blocks:
            yield f"folded: {fold.ways} words side by side, {shape(fold.depth, fold.width)}"
    for each, name in _each(demand, placement):
        if blocks == each:
            yield name
    word = placement.word or demand.width
    for mode in tier.modes:
        for one in mode.shapes:
            times = -(-demand.depth // one.depth) * -(-word // one.width) * demand.banks * copies
            if times * one.cost == blocks:
                yield f"uniform in another shape: {shape(one.depth, one.width)} in mode {mode.name}"
    if demand.ecc == "added" and place(replace(demand, ecc="none"), tier, device).blocks == blocks:
        yield "without the check bits of its ECC"
    if demand.banks > 1:
        one_array = replace(demand, depth=demand.depth * demand.banks, banks=1)
        if place(one_array, tier, device).blocks == blocks:
            yield f"its {demand.banks} banks as one array, one above the other"


def _each(demand: Demand, placement: Placement) -> Iterator[tuple[Fraction, str]]:
    if placement.blocks is None or placement.copies is None:
        return
    parts = demand.banks * placement.copies
    if parts > 1:
        whole = Fraction(ceil(placement.blocks / parts) * parts)
        yield whole, "each bank and copy rounded up to whole blocks"
    if placement.copies > 1:
        yield placement.blocks / placement.copies, f"in one copy, not {placement.copies}"
