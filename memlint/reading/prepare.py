"""Parse tables of the grammars in `grammar/`, made once so that no run has to: a table takes lark a tenth of
a second to make, and its file milliseconds to read.

    python -m memlint.reading.prepare

writes them beside the grammars. A table whose grammar has changed since is not used (`grammars.prepared`).
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import astuple
from pathlib import Path
from typing import Any

from memlint.reading.grammars import fingerprint, grammar_file, parser
from memlint.reading.lalr import Prepared, PreparedRule
from memlint.reading.starts import STARTS

# Grammars whose reader has no lexer of its own.
_WITHOUT_LEXER = ("intent",)


def prepare(name: str) -> Prepared:
    """The table lark makes of a grammar, for the rules its reader starts at."""
    from lark.lexer import Lexer
    from lark.parsers.lalr_analysis import Shift

    class Nothing(Lexer):
        """No text is read here."""

        def __init__(self, _configuration: Any) -> None: ...

        def lex(self, lexer_state: Any, parser_state: Any) -> Iterator[Any]:
            return iter(())

    lark: Any = parser(name, STARTS[name], lexer=Nothing)
    table = lark.parser.parser.parser.parse_table
    numbers = _numbers(table)
    rules: dict[Any, int] = {}
    shifts: list[dict[str, int]] = []
    reductions: list[dict[str, int]] = []
    gotos: list[dict[str, int]] = []
    for state in numbers:
        rows: tuple[dict[str, int], dict[str, int], dict[str, int]] = ({}, {}, {})
        for symbol, (action, argument) in sorted(table.states[state].items()):
            if action is not Shift:
                rows[1][str(symbol)] = rules.setdefault(argument, len(rules))
            else:
                rows[0 if symbol.isupper() else 2][str(symbol)] = numbers[argument]
        for kept, one in zip((shifts, reductions, gotos), rows, strict=True):
            kept.append(one)
    return Prepared(
        [_rule(rule) for rule in rules],
        shifts,
        reductions,
        gotos,
        {start: numbers[state] for start, state in sorted(table.start_states.items())},
        {start: numbers[state] for start, state in sorted(table.end_states.items())},
        _terminals(lark) if name in _WITHOUT_LEXER else [],
    )


def _terminals(lark: Any) -> list[tuple[str, str]]:
    """The terminals in the order in which lark tries them; those it ignores are left out."""
    tried = sorted(
        lark.terminals,
        key=lambda one: (-one.priority, -one.pattern.max_width, -len(one.pattern.value), one.name),
    )
    return [(one.name, one.pattern.to_regexp()) for one in tried if one.name not in lark.ignore_tokens]


def _numbers(table: Any) -> dict[Any, int]:
    """The states in an order that is the same in every run: as one comes to them from the start rules."""
    numbers: dict[Any, int] = {}
    waiting = [table.start_states[start] for start in sorted(table.start_states)]
    while waiting:
        state = waiting.pop(0)
        if state not in numbers:
            numbers[state] = len(numbers)
            row = sorted(table.states[state].items())
            # Where a rule ends there is a rule, else the next state.
            waiting.extend(argument for _, (_, argument) in row if argument in table.states)
    return numbers


def _rule(rule: Any) -> PreparedRule:
    """A rule, with what lark's options make of its parts: `_TOKEN`s dropped, `_rule`s and repetitions taken
    apart, None for each `[…]` that is missing."""
    options = rule.options
    empty = options.empty_indices
    nones = [len(ones) for ones in "".join(str(int(one)) for one in empty).split("0")] if empty else []
    kept: list[tuple[int, bool, int]] = []
    waiting = 0
    for index, symbol in enumerate(rule.expansion):
        waiting += nones[index] if nones else 0
        if options.keep_all_tokens or not (symbol.is_term and symbol.filter_out):
            kept.append((index, not symbol.is_term and symbol.name.startswith("_"), waiting))
            waiting = 0
    waiting += nones[len(rule.expansion)] if nones else 0
    length = len(rule.expansion)
    whole = not waiting and kept == [(index, False, 0) for index in range(length)]
    origin = str(rule.origin.name)
    callback = "" if origin.startswith("_") and not rule.alias else str(rule.alias or origin)
    passes = bool(options.expand1 and not rule.alias)
    return PreparedRule(length, origin, callback, None if whole else tuple(kept), waiting, passes)


def as_text(name: str) -> str:
    """What the file of a grammar's table holds; equal rows stand once."""
    made = prepare(name)
    rows: list[dict[str, int]] = []
    numbers: dict[str, int] = {}

    def number(row: dict[str, int]) -> int:
        key = json.dumps(row)
        if key not in numbers:
            numbers[key] = len(rows)
            rows.append(row)
        return numbers[key]

    rows_of_states = zip(made.shifts, made.reductions, made.gotos, strict=True)
    states = [[number(row) for row in one] for one in rows_of_states]
    data = {
        "grammar": fingerprint(name),
        "starts": made.starts,
        "ends": made.ends,
        "terminals": made.terminals,
        "rules": [astuple(rule) for rule in made.rules],
        "states": states,
        "rows": rows,
    }
    # A line for each part: small, and a change shows where it is.
    lines = (f'"{key}": {json.dumps(value, separators=(",", ":"))}' for key, value in data.items())
    return "{\n" + ",\n".join(lines) + "\n}\n"


def main() -> None:
    for name in STARTS:
        file: Path = grammar_file(name).with_suffix(".json")
        file.write_text(as_text(name), encoding="utf-8")
        print(f"{file}: {file.stat().st_size:,} bytes")


if __name__ == "__main__":
    main()
