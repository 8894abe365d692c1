"""The text of one clause through the table of grammar/intent.lark.

Which terminals may come next depends on where the parser stands, so that `in` is a keyword in one place and a
net's name in another; the table tells, and of those that may come the first in the grammar's order is taken.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, partial
from typing import Any

from memlint.reading.grammars import prepared
from memlint.reading.intent.arithmetic import Arithmetic, Word
from memlint.reading.lalr import Machine, Prepared, Table


@dataclass(frozen=True, slots=True)
class Tree:
    """A rule of the grammar and what its parts became: Words, Numbers and Trees."""

    data: str
    children: list[Any]


class Stuck(Exception):
    """No terminal that may come fits at offset `at`, None for the end; `accepts` are those that may."""

    def __init__(self, at: int | None, accepts: frozenset[str]) -> None:
        super().__init__()
        self.at = at
        self.accepts = accepts


class Trees(Arithmetic):
    """A Tree for each rule that does not reckon; terminals stay Words."""

    def __getattr__(self, rule: str) -> Callable[[list[Any]], Tree]:
        if not rule.islower():
            raise AttributeError(rule)
        return partial(Tree, rule)


def parse(text: str, start: str) -> Any:
    """What the rule `start` makes of a text. Raises Stuck, and Refusal where a number is too large."""
    grammar = _grammar()
    machine = Machine(_table(), start)
    at = 0
    while True:
        at = _blanks(text, at)
        if at == len(text):
            break
        word = _next(grammar, machine, text, at)
        if word is None or not machine.feed(word):
            raise Stuck(at, machine.accepts())
        at += len(word)
    if not machine.finish():
        raise Stuck(None, machine.accepts())
    return machine.result


def _next(grammar: Prepared, machine: Machine, text: str, at: int) -> Word | None:
    expected = machine.expected
    for name, pattern in grammar.terminals:
        if name in expected and (match := _compiled(pattern).match(text, at)):
            return Word(match[0], name, at)
    return None


def _blanks(text: str, at: int) -> int:
    while at < len(text) and text[at].isspace():
        at += 1
    return at


@cache
def _compiled(pattern: str) -> re.Pattern[str]:
    return re.compile(pattern)


@cache
def _grammar() -> Prepared:
    return prepared("intent")


@cache
def _table() -> Table:
    return Table(_grammar(), Trees())
