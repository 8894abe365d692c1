"""A tight loop over the LALR(1) table that lark makes of a grammar.

lark's own loop hashes and compares rule objects at every step; this one does the same work in a third
of the time, which is most of what a keystroke costs in a large file. Equal results are tested.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, TypeAlias

from lark import Lark
from lark.grammar import Rule
from lark.parsers.lalr_analysis import Shift

from memlint.reading.vhdl.tokens import Token

_Step: TypeAlias = Any
"""(next state, callback or None) to shift; (-1, (length, callback or None, nonterminal)) to reduce."""


class Misfit(Exception):
    """A token the grammar does not take at its place; None is the end of the slice."""

    def __init__(self, token: Token | None) -> None:
        super().__init__()
        self.token = token


class Table:
    """The parse table of a grammar with its callbacks, in plain dictionaries. Never changed once made."""

    __slots__ = ("_ends", "_gotos", "_starts", "_steps")

    def __init__(self, lark: Lark) -> None:
        parser: Any = lark.parser.parser.parser
        table, callbacks = parser.parse_table, parser.callbacks
        numbers = {state: number for number, state in enumerate(table.states)}
        self._steps: list[dict[str, _Step]] = []
        self._gotos: list[dict[str, int]] = []
        for row in table.states.values():
            steps: dict[str, _Step] = {}
            gotos: dict[str, int] = {}
            for symbol, (action, argument) in row.items():
                if action is not Shift:
                    steps[str(symbol)] = (-1, _reduction(argument, callbacks))
                elif symbol.isupper():
                    steps[str(symbol)] = (numbers[argument], callbacks.get(symbol))
                else:
                    gotos[str(symbol)] = numbers[argument]
            self._steps.append(steps)
            self._gotos.append(gotos)
        self._starts = {start: numbers[state] for start, state in table.start_states.items()}
        self._ends = {start: numbers[state] for start, state in table.end_states.items()}

    def parse(self, start: str, tokens: Iterable[Token]) -> Any:
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
            if callback is not None:
                values[-length:] = [callback(values[-length:])]
            del states[-length:]
            states.append(self._gotos[states[-1]][symbol])
        return values[-1]


def _reduction(rule: Rule, callbacks: Any) -> tuple[int, Callable[[list[Any]], Any] | None, str]:
    length = len(rule.expansion)
    # A `?rule` of one part passes that part on.
    passes = length == 1 and rule.options.expand1 and rule.alias is None
    return length, None if passes else callbacks[rule], str(rule.origin.name)
