"""Intents of a VHDL file: which of its statements and units each `@mem` comment speaks for."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from memlint.reading.facts.expressions import DataType
from memlint.reading.facts.items import (
    GenerateBlock,
    GenerateCase,
    GenerateFor,
    GenerateIf,
    Instance,
    Item,
    Nested,
    Problem,
    Process,
    Subprogram,
    Typedef,
    Unit,
    Variable,
)
from memlint.reading.intent.attach import StatementPlace, attach, outside_units, read_comments
from memlint.reading.intent.clauses import Intent
from memlint.reading.intent.comments import Comment
from memlint.reading.vhdl.lexer import Lexed
from memlint.reading.vhdl.tokens import Token
from memlint.text.source import SourceText, Span

# Types of the standard packages whose objects are no arrays of words.
_NO_MEMORIES = frozenset(
    """std_logic std_ulogic std_logic_vector std_ulogic_vector unsigned signed u_unsigned u_signed
    ufixed sfixed bit bit_vector boolean integer natural positive real time delay_length
    character string line""".split()
)
# Where code that is no statement of interest may be cut; each piece stands for itself.
_PIECE_ENDS = frozenset(("SEMI", "IS", "BEGIN", "THEN", "ELSE", "LOOP", "GENERATE", "ARROW"))

Given = Mapping[int, tuple[Intent, ...]]


def with_intents(
    units: Sequence[Unit], lexed: Lexed, source: SourceText
) -> tuple[tuple[Unit, ...], tuple[Problem, ...]]:
    """The units with the file's intents in their places, and what is wrong with the intents."""
    if not lexed.comments:
        return tuple(units), ()
    groups, problems = read_comments(_comments(lexed.comments, source), source)
    places = _places(units, lexed.tokens)
    attached = attach(groups, places, source)
    given = {places[index].start: intents for index, intents in attached.statements.items()}
    result = [_given_unit(unit, given) for unit in units] if given else list(units)
    unplaced: list[Problem] = []
    for offset, intent in attached.units:
        around = (at for at, unit in enumerate(units) if unit.whole.start <= offset < unit.whole.end)
        index = next(around, None)
        if index is None:
            unplaced.append(outside_units(intent))
        else:
            result[index] = replace(result[index], intents=(*result[index].intents, intent))
    return tuple(result), (*problems, *attached.problems, *unplaced)


def _comments(spans: Iterable[Span], source: SourceText) -> Iterator[Comment]:
    for span in spans:
        place = source.position(span.start)
        before = source.text[source.line_starts[place.line - 1] : span.start]
        text = source.text[span.start : span.end]
        yield Comment(span.start, span.end, text, not before.strip(), place.line, text.startswith("/*"))


def _places(units: Iterable[Unit], tokens: Sequence[Token]) -> list[StatementPlace]:
    """All code of the file in order: declarations of arrays, instances, and the rest in pieces."""
    scalars = _scalar_types(units)
    wanted: dict[int, int] = {}
    for item in _declared(item for unit in units for item in unit.items):
        if isinstance(item, Instance) or _may_be_memory(item.type, scalars):
            wanted[item.statement.start] = item.statement.end
    places: list[StatementPlace] = []
    at = 0
    while tokens[at].type != "EOF":
        start = tokens[at].start
        end = wanted.get(start)
        if end is not None:
            places.append(StatementPlace(start, end, "memory-or-instance"))
            at = bisect_right(tokens, end - 1, key=lambda token: token.start)
            continue
        is_attribute = tokens[at].type == "ATTRIBUTE"
        # An attribute specification has an `is` in its middle.
        ends = {"SEMI"} if is_attribute else _PIECE_ENDS
        while tokens[at].type not in ends:
            following = tokens[at + 1]
            if following.type == "EOF" or following.start in wanted:
                break
            at += 1
        if not is_attribute:
            places.append(StatementPlace(start, tokens[at].end, "other"))
        at += 1
    return places


def _scalar_types(units: Iterable[Unit]) -> frozenset[str]:
    """Names that every declaration of the file makes a type without elements."""
    scalars: set[str] = set(_NO_MEMORIES)
    others: set[str] = set()
    for unit in units:
        for item in unit.items:
            if isinstance(item, Typedef):
                scalar = item.type.kind in ("enum", "builtin", "unsupported") or (
                    item.subtype and item.type.name in scalars
                )
                (scalars if scalar else others).add(item.name)
    return frozenset(scalars - others)


def _may_be_memory(type: DataType, scalars: frozenset[str]) -> bool:
    return type.name not in scalars


def _declared(items: Iterable[Item]) -> Iterator[Variable | Instance]:
    """All objects and instances among items and what they hold."""
    for item in items:
        if isinstance(item, Variable | Instance):
            yield item
        else:
            yield from _declared(_held(item))


def _held(item: Item) -> tuple[Item, ...]:
    match item:
        case Process() | Subprogram() | GenerateBlock() | Nested():
            return item.items
        case GenerateIf():
            return (item.then,) if item.otherwise is None else (item.then, item.otherwise)
        case GenerateFor():
            return (item.body,)
        case GenerateCase():
            return tuple(block for _, block in item.arms)
    return ()


def _given_unit(unit: Unit, given: Given) -> Unit:
    items = tuple(_given(item, given) for item in unit.items)
    return replace(unit, items=items)


def _given(item: Item, given: Given) -> Item:
    """An item with the intents of what it declares or holds; itself where there are none."""
    match item:
        case Variable() | Instance():
            intents = given.get(item.statement.start)
            return item if intents is None else replace(item, intents=intents)
        case Process() | Subprogram() | Nested():
            items = tuple(_given(each, given) for each in item.items)
            return item if _same(items, item.items) else replace(item, items=items)
        case GenerateBlock():
            return _given_block(item, given)
        case GenerateIf():
            otherwise = None if item.otherwise is None else _given_block(item.otherwise, given)
            return replace(item, then=_given_block(item.then, given), otherwise=otherwise)
        case GenerateFor():
            return replace(item, body=_given_block(item.body, given))
        case GenerateCase():
            arms = tuple((choices, _given_block(block, given)) for choices, block in item.arms)
            return replace(item, arms=arms)
    return item


def _given_block(block: GenerateBlock, given: Given) -> GenerateBlock:
    return replace(block, items=tuple(_given(each, given) for each in block.items))


def _same(new: tuple[Item, ...], old: tuple[Item, ...]) -> bool:
    return all(one is other for one, other in zip(new, old, strict=True))
