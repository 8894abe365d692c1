"""Where intents belong: which statement each speaks for, which for the unit, which for nothing."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from memlint.reading.facts.items import Problem
from memlint.reading.intent.clauses import Accept, Budget, Clause, Intent, Plan, Why
from memlint.reading.intent.comments import Comment, group_comments
from memlint.reading.intent.repeats import without_repeats
from memlint.text.source import SourceText, Span

_MOVE = (
    "put it on a line of its own straight before the array declaration or instance it speaks for",
    "or at the end of the line on which that statement ends",
)


@dataclass(frozen=True, slots=True)
class StatementPlace:
    """The extent of a statement, from the attributes before it to its `;`.

    `memory-or-instance` is one that declares an array or instances a unit. All other code is `other`,
    down to headers and closing words (`module … ;`, `begin`, `endmodule`): an intent must not reach
    past code that no statement covers. Only VHDL's attribute statements are left out, as attributes may
    stand in between. A statement that holds others (a process with declarations) may be given beside
    those it holds. `after_attributes` is where the statement proper starts, if attributes come first.
    """

    start: int
    end: int
    kind: Literal["memory-or-instance", "other"]
    after_attributes: int | None = None


@dataclass(frozen=True, slots=True)
class IntentGroup:
    """One group of comments, read: its intents, its extent, and whether it stands on lines of its own."""

    intents: tuple[Intent, ...]
    start: int
    end: int
    own_line: bool


@dataclass(frozen=True, slots=True)
class Attachment:
    """`statements`: intents by index of the statement they speak for, in the order of the file.

    `units`: (offset, intent) of those that speak for the unit around the offset, in that order.
    """

    statements: Mapping[int, tuple[Intent, ...]]
    units: tuple[tuple[int, Intent], ...]
    problems: tuple[Problem, ...]


def read_comments(
    comments: Iterable[Comment], source: SourceText
) -> tuple[tuple[IntentGroup, ...], tuple[Problem, ...]]:
    """Groups and reads the intents among a file's comments, given in order without inactive code."""
    groups: list[IntentGroup] = []
    problems: list[Problem] = []
    grouped = tuple(group_comments(comments, source))
    if not grouped:
        return (), ()
    # Imported here: a file without intents is read without it.
    from memlint.reading.intent.reader import read_intents

    for group in grouped:
        intents, found = read_intents(group.pieces, source)
        groups.append(IntentGroup(intents, group.start, group.end, group.own_line))
        problems.extend(found)
    return tuple(groups), tuple(problems)


def attach(
    groups: Sequence[IntentGroup], statements: Sequence[StatementPlace], source: SourceText
) -> Attachment:
    """Finds the statement of each group; `statements` are sorted by `start`, outer before inner.

    Problems are `intent-unattached`, and `intent-repeats-clause` where several comments speak for one
    statement.
    """
    places = _Places(statements, source)
    taken: dict[int, list[Intent]] = {}
    units: list[tuple[int, Intent]] = []
    problems: list[Problem] = []
    for group in groups:
        parts = [_parted(intent) for intent in group.intents]
        units.extend((group.start, part) for part, _ in parts if part)
        spoken = [part for _, part in parts if part]
        if not spoken:
            continue
        found = places.after(group) if group.own_line else places.ending_before(group)
        if isinstance(found, int):
            taken.setdefault(found, []).extend(spoken)
        else:
            problems.append(_unattached(found, Span(source.file, group.start, group.end)))
    attached: dict[int, tuple[Intent, ...]] = {}
    for index in sorted(taken):
        attached[index], repeated = without_repeats(taken[index], source)
        problems.extend(repeated)
    return Attachment(attached, tuple(units), tuple(problems))


def outside_units(intent: Intent) -> Problem:
    """The problem of a `budget` or `plan` that no unit encloses."""
    help = ("move it into the module, or the architecture, it speaks for",)
    message = "this intent speaks for the unit around it, and no unit is around it"
    return Problem("intent-unattached", message, intent.span, help)


def _parted(intent: Intent) -> tuple[Intent | None, Intent | None]:
    """An intent as the part that speaks for the enclosing unit and the part that needs a statement.

    What is said beside a `plan` is about the planned memory, and a reason or an acceptance beside
    nothing but a `budget` is about the budget.
    """
    if any(isinstance(clause, Plan) for clause in intent.clauses):
        return intent, None
    budgets = _only(intent, [clause for clause in intent.clauses if isinstance(clause, Budget)])
    if budgets is None:
        return None, intent
    if all(isinstance(clause, Budget | Accept | Why) for clause in intent.clauses):
        return intent, None
    return budgets, _only(intent, [clause for clause in intent.clauses if not isinstance(clause, Budget)])


def _only(intent: Intent, clauses: list[Clause]) -> Intent | None:
    return replace(intent, clauses=tuple(clauses)) if clauses else None


class _Places:
    """The statements of a file, to be found by position; both questions answer an index or a reason."""

    def __init__(self, statements: Sequence[StatementPlace], source: SourceText) -> None:
        self._statements = statements
        self._source = source
        self._starts = [statement.start for statement in statements]
        self._outer = _enclosing(statements)
        self._by_end = sorted(range(len(statements)), key=lambda index: (statements[index].end, index))
        self._ends = [statements[index].end for index in self._by_end]

    def after(self, group: IntentGroup) -> int | str:
        """The statement that comes next."""
        index = bisect_left(self._starts, group.end)
        outer = self._around(group)
        if outer is not None:
            around = self._statements[outer]
            if group.end <= (around.after_attributes or 0):
                index = outer
            elif index == len(self._starts) or self._statements[index].end > around.end:
                return f"it stands inside a statement, {self._shown(around)}"
        if index == len(self._statements):
            return "no statement follows it"
        statement = self._statements[index]
        if statement.kind == "other":
            return f"the code that follows, {self._shown(statement)}, declares no array and no instance"
        return index

    def ending_before(self, group: IntentGroup) -> int | str:
        """The statement that ends on the line, before a comment that stands behind code."""
        following = bisect_left(self._starts, group.end)
        if following < len(self._starts) and self._same_line(group.end, self._starts[following]):
            return "it stands between two pieces of code on one line"
        at = bisect_right(self._ends, group.start) - 1
        if at < 0 or not self._same_line(self._ends[at], group.start):
            outer = self._around(group)
            inside = "" if outer is None else f": it stands inside {self._shown(self._statements[outer])}"
            return f"no statement ends on this line before it{inside}"
        index = self._by_end[at]
        statement = self._statements[index]
        if statement.kind == "other":
            return f"the code before it, {self._shown(statement)}, declares no array and no instance"
        return index

    def _around(self, group: IntentGroup) -> int | None:
        """The innermost statement that encloses the group."""
        before = bisect_left(self._starts, group.start) - 1
        index = before if before >= 0 else None
        while index is not None and self._statements[index].end <= group.start:
            index = self._outer[index]
        return index

    def _same_line(self, start: int, end: int) -> bool:
        between = self._source.text[start:end]
        return "\n" not in between and "\r" not in between

    def _shown(self, statement: StatementPlace) -> str:
        from memlint.reading.intent.wording import shortened

        text = shortened(self._source.text[statement.start : statement.end])
        return f"`{text}` on line {self._source.position(statement.start).line}"


def _enclosing(statements: Sequence[StatementPlace]) -> list[int | None]:
    """For each statement the innermost one that holds it."""
    outer: list[int | None] = []
    open_ones: list[int] = []
    for index, statement in enumerate(statements):
        while open_ones and statements[open_ones[-1]].end < statement.end:
            open_ones.pop()
        outer.append(open_ones[-1] if open_ones else None)
        open_ones.append(index)
    return outer


def _unattached(reason: str, span: Span) -> Problem:
    return Problem("intent-unattached", f"this intent belongs to no statement: {reason}", span, _MOVE)
