"""A tight loop over the LALR(1) table of a grammar, as `prepare` takes it from lark.

lark's own loop hashes and compares rule objects at every step; this one does the same work in a third
of the time, which is most of what a keystroke costs in a large file. Equal results are tested.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Sequence
from dataclasses import dataclass
from operator import itemgetter
from typing import Any, Protocol, TypeAlias

Callback: TypeAlias = Callable[[list[Any]], Any]
_Step: TypeAlias = Any
"""(next state, callback or None) to shift; (-1, (length, callback or None, nonterminal)) to reduce."""


class Leaf(Protocol):
    """What the loop asks of a token: the name of its terminal."""

    @property
    def type(self) -> str: ...


class Misfit(Exception):
    """A token the grammar does not take at its place; None is the end of the slice."""

    def __init__(self, token: Any) -> None:
        super().__init__()
        self.token = token


@dataclass(frozen=True, slots=True)
class PreparedRule:
    """A rule `symbol: …` of `length` parts, whose callback is the method `callback` (empty: a list).

    `kept` are (index, whether it is a list to be taken apart, how many Nones stand before it) of the parts
    the callback is given, None where it is given all; `nones` follow the last. `passes_one`: a single part
    is passed on without a callback.
    """

    length: int
    symbol: str
    callback: str
    kept: tuple[tuple[int, bool, int], ...] | None
    nones: int
    passes_one: bool


@dataclass(frozen=True, slots=True)
class Prepared:
    """A parse table: for each state where a terminal leads (`shifts`), which rule it ends (`reductions`),
    and where a nonterminal leads (`gotos`). `starts` and `ends` are states by start rule. `terminals` are
    names and regular expressions in the order in which they are tried, for texts that have no lexer."""

    rules: Sequence[PreparedRule]
    shifts: Sequence[dict[str, int]]
    reductions: Sequence[dict[str, int]]
    gotos: Sequence[dict[str, int]]
    starts: dict[str, int]
    ends: dict[str, int]
    terminals: Sequence[tuple[str, str]] = ()


class Table:
    """The parse table of a grammar with its callbacks, in plain dictionaries. Never changed once made."""

    __slots__ = ("_ends", "_gotos", "_starts", "_steps")

    def __init__(self, prepared: Prepared, build: object) -> None:
        """`build` has a method for each rule, and for each terminal that is not to stay a token."""
        rules = [(-1, (rule.length, _callback(rule, build), rule.symbol)) for rule in prepared.rules]
        terminals = {terminal for row in prepared.shifts for terminal in row}
        made = {terminal: getattr(build, terminal, None) for terminal in terminals}
        self._steps: list[dict[str, _Step]] = [
            {
                **{terminal: (state, made[terminal]) for terminal, state in shifts.items()},
                **{terminal: rules[rule] for terminal, rule in reductions.items()},
            }
            for shifts, reductions in zip(prepared.shifts, prepared.reductions, strict=True)
        ]
        self._gotos = prepared.gotos
        self._starts = prepared.starts
        self._ends = prepared.ends

    def parse(self, start: str, tokens: Iterable[Leaf]) -> Any:
        """What the rule `start` makes of the tokens. Raises Misfit, and what the callbacks raise."""
        steps, gotos = self._steps, self._gotos
        state = self._starts[start]
        states = [state]
        values: list[Any] = []
        for token in tokens:
            kind = token.type
            while True:
                step = steps[state].get(kind)
                if step is None:
                    raise Misfit(token)
                state, action = step
                if state >= 0:
                    states.append(state)
                    values.append(token if action is None else action(token))
                    break
                length, callback, symbol = action
                if callback is None:
                    states.pop()
                elif length == 0:
                    values.append(callback([]))
                else:
                    value = callback(values[-length:])
                    del values[-length:], states[-length:]
                    values.append(value)
                state = gotos[states[-1]][symbol]
                states.append(state)
        return self._finish(start, states, values)

    def _finish(self, start: str, states: list[int], values: list[Any]) -> Any:
        end = self._ends[start]
        while states[-1] != end:
            step = self._steps[states[-1]].get("$END")
            if step is None:
                raise Misfit(None)
            length, callback, symbol = step[1]
            if length == 0:
                values.append(callback([]))
            else:
                if callback is not None:
                    values[-length:] = [callback(values[-length:])]
                del states[-length:]
            states.append(self._gotos[states[-1]][symbol])
        return values[-1]


class Machine:
    """A parse token by token, for lexers that need to know what may come, and for who asks it afterwards."""

    __slots__ = ("_end", "_states", "_table", "_values")

    def __init__(self, table: Table, start: str) -> None:
        self._table = table
        self._states = [table._starts[start]]
        self._values: list[Any] = []
        self._end = table._ends[start]

    @property
    def expected(self) -> Container[str]:
        """The terminals that may come; a few of them may turn out not to (`accepts` is exact)."""
        return self._table._steps[self._states[-1]].keys()

    @property
    def result(self) -> Any:
        """What the start rule made, once `finish` has said so."""
        return self._values[-1]

    def feed(self, token: Leaf) -> bool:
        """Whether the grammar takes a token; raises what the callbacks raise."""
        while (step := self._table._steps[self._states[-1]].get(token.type)) is not None:
            state, action = step
            if state >= 0:
                self._states.append(state)
                self._values.append(token if action is None else action(token))
                return True
            self._reduce(*action)
        return False

    def finish(self) -> bool:
        """Whether the grammar takes the end here."""
        while self._states[-1] != self._end:
            step = self._table._steps[self._states[-1]].get("$END")
            if step is None:
                return False
            self._reduce(*step[1])
        return True

    def _reduce(self, length: int, callback: Callback | None, symbol: str) -> None:
        first = len(self._values) - length
        if callback is not None:
            self._values[first:] = [callback(self._values[first:])]
        del self._states[first + 1 :]
        self._states.append(self._table._gotos[self._states[-1]][symbol])

    def accepts(self) -> frozenset[str]:
        """The terminals that the grammar takes here; `$END` is the end."""
        return frozenset(one for one in self._table._steps[self._states[-1]] if self._takes(one))

    def _takes(self, terminal: str) -> bool:
        states = list(self._states)
        while terminal != "$END" or states[-1] != self._end:
            step = self._table._steps[states[-1]].get(terminal)
            if step is None:
                return False
            if step[0] >= 0:
                return True
            length, _callback, symbol = step[1]
            del states[len(states) - length :]
            states.append(self._table._gotos[states[-1]][symbol])
        return True


def _callback(rule: PreparedRule, build: object) -> Callback | None:
    """What to call with the parts of a rule; None where its one part is passed on."""
    if rule.passes_one and rule.length == 1 and rule.kept is None:
        return None
    if rule.passes_one and rule.kept is not None and len(rule.kept) == 1 and not rule.nones:
        ((index, apart, before),) = rule.kept
        if not apart and not before:
            return itemgetter(index)
    callback: Callback = getattr(build, rule.callback) if rule.callback else list
    if rule.passes_one:
        callback = _unless_one(callback)
    return callback if rule.kept is None else _with_kept(callback, rule.kept, rule.nones)


def _unless_one(callback: Callback) -> Callback:
    def reduce(parts: list[Any]) -> Any:
        return parts[0] if len(parts) == 1 else callback(parts)

    return reduce


def _with_kept(callback: Callback, kept: Sequence[tuple[int, bool, int]], nones: int) -> Callback:
    if nones == 0 and not any(apart or before for _, apart, before in kept):
        only = tuple(index for index, _, _ in kept)

        def pick(parts: list[Any]) -> Any:
            return callback([parts[index] for index in only])

        return pick

    def gather(parts: list[Any]) -> Any:
        given: list[Any] = []
        for index, apart, before in kept:
            if before:
                given.extend([None] * before)
            if apart:
                given.extend(parts[index])
            else:
                given.append(parts[index])
        given.extend([None] * nones)
        return callback(given)

    return gather
