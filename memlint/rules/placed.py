"""What most rules ask of a view first: did someone choose this tier, does it take the memory, and why not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from memlint.device.facts import Mode, Tier
from memlint.mapping.assume import possible_tiers
from memlint.mapping.demand import Demand, Obstacle, Placement
from memlint.reading.intent.clauses import In
from memlint.rules.finding import Edit, Fix, Related
from memlint.rules.view import MemoryView
from memlint.rules.wording import listed, quoted


def why_no_tier(view: MemoryView) -> str:
    """Why a memory has no tier; empty when it has one."""
    if view.tier is not None:
        return ""
    named = view.clause(In)
    if named is not None:
        tiers = listed(map(quoted, named.tiers), "or")
        return f"its intent names {tiers}, which device `{view.device.name}` does not have"
    if view.demand is None:
        return f"the shape is unknown and no intent names a tier of device `{view.device.name}`"
    unknown = [
        *(["whether it is read without a clock"] if view.demand.asynchronous is None else []),
        *(["how many clocks its ports use"] if view.demand.clocks is None else []),
    ]
    open_to = possible_tiers(view.demand, view.memory.packed, view.device, view.thresholds)
    names = listed((quoted(one.name) for one in open_to), "or")
    return f"{names}, as no intent names one and it is unknown {listed(unknown)}"


def chosen(view: MemoryView) -> Tier | None:
    """The tier someone chose for the memory, or an assumed one that turns out not to take it.

    A tier that memlint assumed takes the memory by construction: finding fault with it would blame
    the reader for our own choice.
    """
    if view.tier is None:
        return None
    if view.tier_from == "assumed" and (view.placement is None or view.placement.fits):
        return None
    return view.tier


def obstacle(view: MemoryView, kind: str) -> Obstacle | None:
    """What of that kind keeps the memory out of its tier, or None."""
    if view.placement is None:
        return None
    return next((one for one in view.placement.obstacles if one.kind == kind), None)


@dataclass(frozen=True, slots=True)
class Placed:
    """A memory that its chosen tier takes, with everything known that a shape rule reckons with.

    `each` is the blocks of one bank and copy.
    """

    tier: Tier
    demand: Demand
    placement: Placement
    blocks: Fraction
    each: Fraction

    @property
    def mode(self) -> Mode | None:
        """The mode of the tier that the placement uses."""
        return self.tier.mode(self.placement.mode or "")


def placed(view: MemoryView) -> Placed | None:
    """The memory on its chosen tier; None when anything is unknown, or an obstacle stands.

    An obstacle is a cause of its own and has its own rule: the counts beside it are of a memory that
    cannot be built, so rules on shapes and chains stay silent about them.
    """
    tier, placement, demand = chosen(view), view.placement, view.demand
    if tier is None or placement is None or demand is None or not placement.fits:
        return None
    if placement.blocks is None or placement.copies is None:
        return None
    each = placement.blocks / (demand.banks * placement.copies)
    return Placed(tier, demand, placement, placement.blocks, each)


def in_blocks(view: MemoryView) -> Placed | None:
    """As `placed`, for tiers of hardened blocks only."""
    home = placed(view)
    return home if home is not None and home.tier.role in ("block", "bulk") else None


def shallowest(mode: Mode | None) -> int | None:
    """Words of the shallowest shape a block can take in a mode."""
    if mode is None:
        return None
    return min((one.depth for one in (*mode.shapes, *mode.half_shapes)), default=None)


def asked_here(view: MemoryView) -> list[Related]:
    """Where the tier was chosen: the `in` clause, or the attribute."""
    wanted = view.clause(In)
    if view.tier_from == "intent" and wanted is not None:
        return [Related(wanted.span, "the tier is chosen here")]
    if view.tier_from == "attribute" and view.memory.attribute_span is not None:
        return [Related(view.memory.attribute_span, "the tier is chosen by this attribute")]
    return []


def move_to(view: MemoryView, tiers: Sequence[str]) -> list[Fix]:
    """The fix that names the first of some tiers in the intent: a choice, so never made unasked.

    Empty where there is no other tier, or the choice was not made by a comment in the HDL.
    """
    wanted = view.bound(In)
    if not tiers or view.tier_from != "intent" or wanted is None or wanted.bound.level == 0:
        return []
    clause = f"in {tiers[0]}"
    return [Fix(f"say `{clause}`", (Edit(wanted.clause.span, clause),), safe=False)]


def in_other_blocks(view: MemoryView) -> list[str]:
    """The other tiers of hardened blocks that take the memory, cheapest first."""
    hardened = {tier.name for tier in view.device.tiers if tier.role in ("block", "bulk")}
    return [one.tier for one in view.elsewhere if one.tier in hardened]


def shaped_by(view: MemoryView) -> list[Related]:
    """What set the depth and width: dimensions, parameters, overrides."""
    return [Related(note.span, note.text) for note in view.memory.sources if note.span is not None]
