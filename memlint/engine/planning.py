"""A plan for a judged design: which memories are free, what each may choose, and why it went where it did."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from memlint.device.facts import REGISTERS, Device, Tier
from memlint.engine.budgets import BudgetUse, budget_uses
from memlint.engine.judgement import Judgement
from memlint.engine.plan_words import conflict_words, reasons
from memlint.engine.settings import ProjectError
from memlint.engine.totals import Place, UnitTotal, instance_totals, unit_totals
from memlint.mapping.assume import why_assumed
from memlint.mapping.columns import heights_of
from memlint.mapping.demand import Placement
from memlint.mapping.plan import Choice, Conflict, Item, Limit, Plan, Problem
from memlint.mapping.plan_choices import Refusal, Way, ways_among, ways_regardless
from memlint.mapping.plan_solve import solve
from memlint.reading.intent.clauses import Budget, In, ReadWithin
from memlint.rules.base import rule_named
from memlint.rules.totals import below
from memlint.rules.view import MemoryView, UnitIntent
from memlint.rules.wording import FEW_FLIP_FLOPS, MOST_FLIP_FLOPS, quoted


@dataclass(frozen=True, slots=True)
class Candidate:
    """A memory to plan: the ways it may be kept, the tiers that refuse it, and, where nothing is left to
    choose but how its chains are cut, why (`fixed`)."""

    view: MemoryView
    ways: tuple[Way, ...]
    refused: tuple[Refusal, ...]
    fixed: str = ""


@dataclass(frozen=True, slots=True)
class Assigned:
    """A memory's place in the plan. `why` are sentences: what decided, and what the other tiers cost."""

    view: MemoryView
    choice: Choice
    placement: Placement
    fixed: str
    why: tuple[str, ...]

    @property
    def moved(self) -> bool:
        """Whether the plan keeps it elsewhere than it is now."""
        return self.view.tier is None or self.view.tier.name != self.choice.tier


@dataclass(frozen=True, slots=True)
class Filling:
    """What a plan takes of a tier, exactly: of `supply` blocks, that is `available` less the reserve (None
    unknown); bits for an external tier. `columns` are the chains of each column and its height."""

    tier: str
    role: str
    taken: Fraction
    supply: Fraction | None
    available: Fraction | None
    columns: tuple[tuple[int, tuple[int, ...]], ...] = ()


@dataclass(frozen=True, slots=True)
class DevicePlan:
    """The plan of one design on one device. `plan` is None when there is none; `conflict` then says why,
    in sentences, and `proven` whether it is certain. `left_out` are memories that are in no sum, with the
    reason; `missing` units without source, `black_boxes` those that memlint.toml describes."""

    device: Device
    root: str
    plan: Plan | None
    memories: tuple[Assigned, ...]
    fillings: tuple[Filling, ...]
    conflict: tuple[str, ...]
    proven: bool
    left_out: tuple[tuple[str, str], ...]
    missing: tuple[str, ...]
    black_boxes: tuple[str, ...] = ()

    @property
    def misplaced(self) -> tuple[Assigned, ...]:
        """Memories that stay on a tier that does not take them as they are."""
        return tuple(one for one in self.memories if not one.placement.fits)

    @property
    def open_tiers(self) -> tuple[str, ...]:
        """Tiers that the plan uses and whose supply the profile does not give: whether it fits is open."""
        return tuple(
            one.tier for one in self.fillings if one.taken and one.supply is None and one.role != "registers"
        )

    @property
    def fits(self) -> bool | None:
        """Whether all that is known of the design fits the device; None while that is not known, as where a
        memory could not be counted. What units without source may need on top is not in it."""
        if self.plan is None:
            return False if self.proven else None
        return None if self.open_tiers or self.left_out else True


@dataclass(frozen=True, slots=True)
class Scenario:
    """A plan under a title, and what each unit, each instance and each budget takes: as planned, or as it is
    where there is no plan."""

    title: str
    plan: DevicePlan
    units: tuple[UnitTotal, ...]
    places: tuple[Place, ...]
    budgets: tuple[BudgetUse, ...]


def scenario(title: str, judgement: Judgement) -> Scenario:
    """Plan a judged design. Raises ProjectError as `plan_design`."""
    plan = plan_design(judgement)
    homes = {one.view.memory.path: one for one in plan.memories}
    views = tuple(
        view
        if (home := homes.get(view.memory.path)) is None
        else replace(view, tier=judgement.device.tier(home.choice.tier), placement=home.placement)
        for view in judgement.memories
    )
    after = replace(judgement, memories=views)
    return Scenario(title, plan, unit_totals(after), instance_totals(after), budget_uses(after))


def plan_design(judgement: Judgement) -> DevicePlan:
    """Plan the design's one root on its device. Raises ProjectError when it has none or several."""
    root = _root(judgement)
    device = judgement.device
    candidates: list[Candidate] = []
    left_out: list[tuple[str, str]] = []
    for view in judgement.memories:
        if not below(view.memory.path, root):
            continue
        found = candidate(view, device)
        if isinstance(found, str):
            left_out.append((view.memory.path, found))
        else:
            candidates.append(found)
    reserve = judgement.reserve
    problem = problem_of(candidates, device, reserve, judgement.unit_intents)
    answer = solve(problem)
    plan = answer if isinstance(answer, Plan) else None
    memories = _assigned(candidates, plan, device) if plan is not None else ()
    return DevicePlan(
        device,
        root,
        plan,
        memories,
        _fillings(memories, plan, device, reserve) if plan is not None else (),
        conflict_words(answer, problem, candidates, device) if isinstance(answer, Conflict) else (),
        answer.proven if isinstance(answer, Conflict) else True,
        tuple(left_out),
        tuple(sorted(one.name for one in judgement.missing if any(below(at, root) for at in one.instances))),
        tuple(
            sorted(
                {
                    view.memory.unit
                    for view in judgement.memories
                    if view.memory.black_box and below(view.memory.path, root)
                }
            )
        ),
    )


def _root(judgement: Judgement) -> str:
    if len(judgement.roots) == 1:
        return judgement.roots[0]
    if not judgement.roots:
        raise ProjectError("There is no unit to plan. Name files that hold one.")
    named = ", ".join(quoted(root) for root in judgement.roots)
    raise ProjectError(f"A device holds one design, and there are {len(judgement.roots)} roots: {named}. "
                       "Name one with --top, or with `top` in memlint.toml.")  # fmt: skip


def candidate(view: MemoryView, device: Device) -> Candidate | str:
    """What may become of a memory; or why it cannot be planned."""
    demand, within = view.demand, view.clause(ReadWithin)
    cycles = within.cycles if within is not None else None
    if demand is None:
        return view.memory.unresolved or "its shape is not known"
    fixed = _fixed(view, device)
    if fixed is not None:
        tier, why = fixed
        ways, refused = ways_among(demand, (tier,), device, cycles)
        if refused:
            ways, why = (
                ways_regardless(demand, tier, device),
                f"{why}, and it does not fit: {refused[0].text}",
            )
        return Candidate(view, ways, (), why) if ways else f"its blocks in `{tier.name}` are not known"
    named = view.clause(In)
    names = named.tiers if named is not None else ()
    unknown = tuple(
        Refusal(name, f"{device.name} has no tier of this name")
        for name in names
        if device.tier(name) is None
    )
    known = tuple(tier for tier in map(device.tier, names) if tier is not None)
    if known:
        ways, refused = ways_among(demand, known, device, cycles)
        return Candidate(view, *_without_unsafe(view, ways, (*unknown, *refused)))
    tiers = tuple(tier for tier in device.on_chip() if tier is not REGISTERS)
    ways, refused = _without_unsafe(view, *ways_among(demand, tiers, device, cycles))
    bits = demand.depth * demand.width * demand.banks
    if bits <= (FEW_FLIP_FLOPS if ways else MOST_FLIP_FLOPS):
        more, _ = ways_among(demand, (REGISTERS,), device, cycles)
        ways = (*ways, *more)
    return Candidate(view, ways, (*unknown, *refused))


def _fixed(view: MemoryView, device: Device) -> tuple[Tier, str] | None:
    """The tier that leaves nothing to choose, and who says so."""
    named = view.clause(In)
    if named is not None:
        tier = device.tier(named.tiers[0]) if len(named.tiers) == 1 else None
        return None if tier is None else (tier, "its intent names this tier alone")
    if view.tier is None:
        return None
    if view.tier_from == "attribute":
        who = "its [[black_box]]" if view.memory.black_box else "an attribute"
        return view.tier, f"{who} names this tier"
    if view.tier is REGISTERS:
        return view.tier, f"{_why_registers(view)}: left in registers"
    return None


def _why_registers(view: MemoryView) -> str:
    """What keeps a memory in registers that nobody put there."""
    if view.demand is None:
        return "its demand is not known"
    return why_assumed(view.demand, view.memory.packed, view.device, view.thresholds)[-1]


def _without_unsafe(
    view: MemoryView, ways: Sequence[Way], refused: Sequence[Refusal]
) -> tuple[tuple[Way, ...], tuple[Refusal, ...]]:
    """The ways on tiers that give the word the code relies on when an address is read while written."""
    rule = rule_named("same-address-unsafe")
    assert rule is not None
    unsafe: dict[str, str] = {}
    for name in dict.fromkeys(way.choice.tier for way in ways):
        tier = view.device.tier(name)
        if tier is None:
            continue
        there = replace(view, tier=tier, tier_from="intent", placement=view.place(tier))
        finding = next(iter(rule.check(there)), None)
        if finding is not None:
            unsafe[name] = finding.message
    kept = tuple(way for way in ways if way.choice.tier not in unsafe)
    return kept, (*refused, *(Refusal(name, text) for name, text in unsafe.items()))


def problem_of(
    candidates: Sequence[Candidate],
    device: Device,
    reserve: Mapping[str, Fraction],
    unit_intents: Iterable[UnitIntent],
) -> Problem:
    """The arithmetic of it: every candidate's choices, the supply of each tier, the budgets."""
    items = tuple(Item(one.view.memory.path, tuple(way.choice for way in one.ways)) for one in candidates)
    limits = [
        Limit(tier.name, tier.name, there)
        for tier in device.tiers
        if (there := _supply(tier, reserve)) is not None
    ]
    for unit in unit_intents:
        members = frozenset(at for at, item in enumerate(items) if below(item.name, unit.path))
        for clause in unit.intent.clauses:
            if isinstance(clause, Budget) and members:
                limits += [
                    Limit(f"the budget of `{unit.path}`", tier, blocks, members)
                    for tier, blocks in clause.limits
                ]
    columns = {tier.name: tier.columns for tier in device.tiers if tier.columns and tier.chain is not None}
    return Problem(items, tuple(limits), columns)


def _available(tier: Tier) -> Fraction | None:
    if tier.role == "external":
        capacity = tier.external.capacity_bits if tier.external else None
        return None if capacity is None else Fraction(capacity)
    if tier.blocks is not None:
        return Fraction(tier.blocks)
    return Fraction(sum(heights_of(tier.columns))) if tier.columns else None


def _supply(tier: Tier, reserve: Mapping[str, Fraction]) -> Fraction | None:
    available = _available(tier)
    return None if available is None else max(Fraction(0), available - reserve.get(tier.name, 0))


def _assigned(candidates: Sequence[Candidate], plan: Plan, device: Device) -> tuple[Assigned, ...]:
    found = []
    for one, at in zip(candidates, plan.chosen, strict=True):
        way = one.ways[at]
        why = reasons(one.ways, way, one.refused, one.fixed, device)
        found.append(Assigned(one.view, way.choice, way.placement, one.fixed, why))
    return tuple(found)


def _fillings(
    memories: Sequence[Assigned], plan: Plan, device: Device, reserve: Mapping[str, Fraction]
) -> tuple[Filling, ...]:
    found = []
    for tier in (*device.tiers, REGISTERS):
        here = [one.choice.blocks for one in memories if one.choice.tier == tier.name]
        if not here and tier.role in ("registers", "external"):
            continue
        held = plan.columns.get(tier.name, ())
        heights = heights_of(tier.columns) if held else []
        found.append(
            Filling(
                tier.name,
                tier.role,
                sum(here, Fraction(0)),
                _supply(tier, reserve),
                _available(tier),
                tuple(zip(heights, held, strict=True)),
            )
        )
    return tuple(found)
