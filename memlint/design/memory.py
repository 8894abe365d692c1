"""A memory of the elaborated design, as rules, mapping and reports see it."""

from __future__ import annotations

from dataclasses import dataclass, field

from memlint.reading.intent.clauses import Clause, Intent
from memlint.text.source import Span

ONLY_WORD = "the only word"
"""The address of an access that needs none: each bank has one word."""


@dataclass(frozen=True, slots=True)
class Clock:
    """The source net a clock is traced to.

    `net` is its dotted path from the root; `edge` rising or falling. `root` is the net a gated clock
    is gated from (None: not gated, or not known). `span` is where the trace started.
    """

    net: str
    edge: str = "rising"
    root: str | None = None
    span: Span | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Access:
    """One place where a memory is written or read.

    kind: `write` or `read`. `clock` None for an asynchronous read or an unknown clock.
    `address` is the address as text, for messages; empty where no RTL gives one.
    `asynchronous` with `reason` (and `reason_span`) when logic stands between the word and a register;
    `also` are further places that make it so.
    """

    kind: str
    span: Span
    address: str
    clock: Clock | None = None
    asynchronous: bool = False
    reason: str = ""
    reason_span: Span | None = None
    also: tuple[Note, ...] = ()

    @property
    def place(self) -> str:
        """The address as a phrase, empty where no RTL gives one: an array of one word has none to quote."""
        if self.address == ONLY_WORD:
            return ONLY_WORD
        return f"address `{self.address}`" if self.address else ""


@dataclass(frozen=True, slots=True)
class MemoryPort:
    """A port after sharing: what it does, its clock, its accesses."""

    writes: bool
    reads: bool
    clock: Clock | None
    accesses: tuple[Access, ...]


@dataclass(frozen=True, slots=True)
class BoundIntent:
    """An intent that speaks for a memory, and where it stands.

    `scope` is the dotted path of the instance in whose scope its names are meant; `clocks` maps each
    clock name it uses to the net it denotes (None: no such net). `level` orders precedence, lowest
    wins: 0 memlint.toml, then outermost instance inward, the declaration last. `unit` is the scope's unit;
    `nets` are the one-bit nets there were to name, with what they come from, where a name is no net.
    """

    intent: Intent
    scope: str
    level: int
    origin: str
    clocks: tuple[tuple[str, Clock | None], ...] = ()
    unit: str = ""
    nets: tuple[tuple[str, Clock | None], ...] = ()


@dataclass(frozen=True, slots=True)
class Note:
    text: str
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Memory:
    """One memory of one instance.

    `path` is the dotted path from the root, `unit` the declaring unit, `name` the declared name.
    `depth` and `width` are per bank, None when `unresolved` (with `unresolved_span`).
    `read`: `synchronous`, `asynchronous`, `none` (never read) or None (unknown).
    `lanes` are write lanes in bits, lowest first, empty = whole word.
    `contents`: `none`, `zero` or `given`. `reset` is the statement that clears the array.
    `attribute` is `block`, `logic` or `rom` from a standard attribute, or a tier name from [attributes].
    `sources` are related places: what set the depth, the parameter overrides.
    `same_address` is `before`, `after`, `never` or None (the style of the code is not known). `compared`
    is where the code compares read and write address, None where it does not.
    `planned` memories have no RTL yet: a `plan` comment states them. A `black_box` is a unit without source
    that a [[black_box]] describes.
    """

    path: str
    unit: str
    name: str
    language: str
    span: Span
    statement: Span
    depth: int | None
    width: int | None
    banks: int = 1
    ports: tuple[MemoryPort, ...] = ()
    clocks: tuple[Clock, ...] = ()
    clocks_known: bool = True
    read: str | None = None
    unresolved: str | None = None
    unresolved_span: Span | None = None
    lanes: tuple[int, ...] = ()
    contents: str = "none"
    contents_span: Span | None = None
    reset: Span | None = None
    latch: bool = False
    packed: bool = False
    attribute: str | None = None
    attribute_span: Span | None = None
    intents: tuple[BoundIntent, ...] = ()
    sources: tuple[Note, ...] = ()
    notes: tuple[Note, ...] = ()
    decisions: tuple[Note, ...] = ()
    same_address: str | None = None
    compared: Span | None = None
    planned: bool = False
    black_box: bool = False

    @property
    def bits(self) -> int | None:
        """Bits over all banks, None when the shape is unknown."""
        if self.depth is None or self.width is None:
            return None
        return self.depth * self.width * self.banks

    def count(self, writes: bool, reads: bool) -> int:
        """How many ports do exactly that."""
        return sum(port.writes == writes and port.reads == reads for port in self.ports)


@dataclass(frozen=True, slots=True)
class NotMemory:
    """An array that is no memory, and why."""

    path: str
    unit: str
    name: str
    language: str
    span: Span
    reason: str
    depth: int | None = None
    width: int | None = None
    intents: tuple[Intent, ...] = ()


@dataclass(frozen=True, slots=True)
class BoundClause:
    """A clause that won, and the intent it came from."""

    clause: Clause
    bound: BoundIntent
