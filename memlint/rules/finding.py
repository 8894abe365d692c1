"""What a rule says: one finding, in the one form all outputs share."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum, IntEnum
from fractions import Fraction

from memlint.text.source import Span


class Severity(IntEnum):
    """How bad a finding is; larger is worse, so levels compare."""

    NOTE = 1
    WARNING = 2
    ERROR = 3

    def __str__(self) -> str:
        return self.name.lower()


@dataclass(frozen=True, slots=True)
class Related:
    """A further place that explains a finding."""

    span: Span
    message: str


class Reach(Enum):
    """What an edit of a rule takes; a rule knows spans, not the text around them.

    The findings of a judgement have edits of `SPAN` only: the engine, which has the texts, works the
    others out.
    """

    SPAN = "the span"
    CLAUSE = "the intent clause that the span is, with its separator; its comment, if nothing is left"
    LINE = "a line of its own above the span"


@dataclass(frozen=True, slots=True)
class Edit:
    """Replace the text of `span` by `text`."""

    span: Span
    text: str
    reach: Reach = Reach.SPAN


@dataclass(frozen=True, slots=True)
class Fix:
    """A set of edits that mends the finding; `safe` ones may be applied unasked."""

    title: str
    edits: tuple[Edit, ...]
    safe: bool = True


Number = int | float | str | Fraction | None


@dataclass(frozen=True, slots=True)
class Finding:
    """One result of one rule.

    `message` says what is wrong, with the numbers; `help` what to do, as concrete alternatives.
    `paths` are the memories (or instances) it holds for, sorted; empty when it is about text only.
    """

    rule: str
    severity: Severity
    message: str
    span: Span
    paths: tuple[str, ...] = ()
    related: tuple[Related, ...] = ()
    numbers: tuple[tuple[str, Number], ...] = ()
    help: tuple[str, ...] = ()
    fixes: tuple[Fix, ...] = field(default=())
