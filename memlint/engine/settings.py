"""What memlint.toml says, validated: plain data that the engine and both fronts share."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from memlint.rules.finding import Severity


@dataclass(frozen=True, slots=True)
class RuleSettings:
    """`[rules]` for one set of paths: severities (None: the rule is off) and thresholds by `rule.setting`.

    `paths` are globs; empty means everywhere. Later entries win over earlier ones.
    """

    severities: Mapping[str, Severity | None] = field(default_factory=dict)
    thresholds: Mapping[str, float] = field(default_factory=dict)
    paths: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class IntentEntry:
    """One `[[intent]]`: memory paths (`*` for any run, `[*]` for any index) and the text of its clauses."""

    memory: str
    intent: str
    line: int


@dataclass(frozen=True, slots=True)
class BlackBox:
    """One `[[black_box]]`: a memory unit without source. Shapes are expressions over its parameters."""

    unit: str
    depth: str
    width: str
    ports: str = ""
    clocks: tuple[str, ...] = ()
    tier: str = ""
    line: int = 0


@dataclass(frozen=True, slots=True)
class CountsFormat:
    """`[reconcile]`: the headings of a table of built counts, and its names of our tiers."""

    path: str = "path"
    tier: str = "tier"
    blocks: str = "blocks"
    tiers: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class MeasuredCount:
    """One `[[measured]]`: a built count that is known to differ from ours, and why that is fine."""

    memory: str
    tier: str
    blocks: Fraction
    because: str
    line: int = 0


@dataclass(frozen=True, slots=True)
class Settings:
    """A project's settings. `root` is the folder of memlint.toml (or the working folder without one).

    `file` is memlint.toml as findings name it, `` where there is none. `sources` and `exclude` are globs
    relative to `root`. `assume` and `parameters` map names to integers or texts. `top_given` says that `top`
    is the command line's.
    """

    root: str
    file: str = ""
    device: str = "sorter-m"
    device_given: bool = False
    target_mhz: float | None = None
    sources: tuple[str, ...] = ()
    exclude: tuple[str, ...] = ()
    file_lists: tuple[str, ...] = ()
    include_dirs: tuple[str, ...] = ()
    defines: Mapping[str, str] = field(default_factory=dict)
    top: tuple[str, ...] = ()
    top_given: bool = False
    libraries: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    parameters: Mapping[str, int | str] = field(default_factory=dict)
    assume: Mapping[str, int | str] = field(default_factory=dict)
    same_clocks: tuple[tuple[str, ...], ...] = ()
    reserve: Mapping[str, float] = field(default_factory=dict)
    rules: tuple[RuleSettings, ...] = ()
    attributes: Mapping[str, str] = field(default_factory=dict)
    intents: tuple[IntentEntry, ...] = ()
    black_boxes: tuple[BlackBox, ...] = ()
    counts_format: CountsFormat = CountsFormat()
    measured: tuple[MeasuredCount, ...] = ()


class ProjectError(Exception):
    """The run itself cannot go on: bad configuration, unreadable path. The text names file, line, remedy."""


class UnknownTopError(ProjectError):
    """The unit that a project names as its top is in none of its files."""
