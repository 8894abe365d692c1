"""What differs between two states of a project: plain data for the reports."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from memlint.engine.sides import Side
from memlint.rules.finding import Finding
from memlint.rules.view import MemoryView
from memlint.text.source import Span


@dataclass(frozen=True, slots=True)
class Cause:
    """Why something changed: a clause for a sentence, and its place on the `new` side or the `old` one."""

    text: str
    span: Span | None = None
    side: str = "new"


@dataclass(frozen=True, slots=True)
class Change:
    """One thing about a memory that changed. `what`: shape, ports, clocks, read, tier or blocks.

    `before` and `after` are as people write them. Without `causes` the cause is not known.
    """

    what: str
    before: str
    after: str
    causes: tuple[Cause, ...] = ()


@dataclass(frozen=True, slots=True)
class MemoryChange:
    """A memory that changed. `kind`: added (`old` is None), removed (`new` is None), moved (another path,
    and maybe other changes) or changed. `causes` are those of the addition, removal or move."""

    kind: str
    old: MemoryView | None
    new: MemoryView | None
    changes: tuple[Change, ...] = ()
    causes: tuple[Cause, ...] = ()

    @property
    def path(self) -> str:
        """The path on the new side, or on the old where it is no more."""
        return self.view.memory.path

    @property
    def view(self) -> MemoryView:
        """The memory on the new side, or on the old where it is no more."""
        view = self.new or self.old
        assert view is not None
        return view


@dataclass(frozen=True, slots=True)
class Amount:
    """Blocks of a tier, exact (flip-flops for `registers`); of `memories`, `unknown` have no known count."""

    blocks: Fraction = Fraction(0)
    memories: int = 0
    unknown: int = 0


@dataclass(frozen=True, slots=True)
class BlockChange:
    """Blocks before and after on one tier, of a root or of all instances of a unit with what is below.

    `available` is the new side's supply, or the old one's for a tier the new device has not; None unknown.
    """

    name: str
    tier: str
    before: Amount
    after: Amount
    available: int | None = None

    @property
    def differs(self) -> bool:
        """Whether the number of blocks, or how much of it is known, changed."""
        return (self.before.blocks, self.before.unknown) != (self.after.blocks, self.after.unknown)


@dataclass(frozen=True, slots=True)
class Comparison:
    """All differences. Memories are in order of their paths; `unchanged` counts the others. `units` and
    `tiers` hold what did not change too. Findings are in the order of their side."""

    old: Side
    new: Side
    memories: tuple[MemoryChange, ...]
    unchanged: int
    units: tuple[BlockChange, ...]
    tiers: tuple[BlockChange, ...]
    new_findings: tuple[Finding, ...]
    gone_findings: tuple[Finding, ...]
