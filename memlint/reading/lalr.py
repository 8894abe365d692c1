"""A tight loop over the LALR(1) table of a grammar, as `prepare` takes it from lark.

lark's own loop hashes and compares rule objects at every step; this one does the same work in a third
of the time, which is most of what a keystroke costs in a large file. Equal results are tested.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
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
    and where a nonterminal leads (`gotos`). `starts` and `ends` are states by start rule."""

    rules: Sequence[PreparedRule]
    shifts: Sequence[dict[str, int]]
    reductions: Sequence[dict[str, int]]
    gotos: Sequence[dict[str, int]]
    starts: dict[str, int]
    ends: dict[str, int]


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
