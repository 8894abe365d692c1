"""Type and subtype declarations."""

from __future__ import annotations

from memlint.reading.facts.expressions import DataType, Dimension, EnumMember, Field, Real, Slice, Unary
from memlint.reading.facts.items import Item, Nested, Typedef
from memlint.reading.vhdl import parse
from memlint.reading.vhdl.cursor import Cursor
from memlint.reading.vhdl.ends import close, closes, skip_end
from memlint.reading.vhdl.interfaces import identifiers
from memlint.reading.vhdl.lexer import MAX_NESTING
from memlint.reading.vhdl.parse import Failure
from memlint.reading.vhdl.tokens import Token, slice_span
from memlint.reading.vhdl.types import dimension


def type_declaration(cursor: Cursor) -> list[Item]:
    """From `type` over the `;`. An incomplete declaration says nothing."""
    start = cursor.at
    cursor.at += 1
    name = cursor.token
    if not cursor.accept("NAME"):
        cursor.leaf()
        return [cursor.skipped("type declaration", start)]
    if cursor.accept("SEMI"):
        return []
    if not cursor.accept("IS"):
        cursor.leaf()
        return [cursor.skipped("type declaration", start)]
    if cursor.kind == "NAME" and cursor.token.value == "protected" and cursor.peek().type == "BODY":
        return _protected_body(cursor, start, name)
    defined = _definition(cursor, name)
    if defined is None:
        return [cursor.skipped("type declaration", start)]
    return [Typedef(name.value, defined, span=name.span)]


def subtype_declaration(cursor: Cursor) -> list[Item]:
    """From `subtype` over the `;`."""
    start = cursor.at
    cursor.at += 1
    name = cursor.token
    if not cursor.accept("NAME") or not cursor.accept("IS"):
        cursor.leaf()
        return [cursor.skipped("subtype declaration", start)]
    begin = cursor.at
    declared = parse.declaration(cursor.leaf())
    if isinstance(declared, Failure):
        cursor.recover(begin, declared)
        return [cursor.skipped("subtype declaration", start)]
    return [Typedef(name.value, declared[0], subtype=True, span=name.span)]


def _definition(cursor: Cursor, name: Token) -> DataType | None:
    """The type after `is`; None where it is not understood. Steps over the `;` either way."""
    match cursor.kind:
        case "LPAR":
            return _enumeration(cursor)
        case "ARRAY":
            return _array(cursor)
        case "RECORD":
            return _record(cursor, name.value)
        case "RANGE":
            return _numeric(cursor)
        case "ACCESS":
            cursor.leaf()
            return DataType("unsupported", "access")
        case "FILE":
            cursor.at += 1
            cursor.leaf()
            return DataType("unsupported", "file")
        case "NAME" if cursor.token.value == "protected":
            return _protected(cursor)
    cursor.leaf()
    return None


def _enumeration(cursor: Cursor) -> DataType:
    tokens = cursor.parentheses()
    cursor.accept("SEMI")
    members = tuple(
        EnumMember(each.value, None, span=each.span) for each in tokens if each.type in ("NAME", "ATOM")
    )
    return DataType("enum", members=members, span=slice_span(tokens) if tokens else None)


def _array(cursor: Cursor) -> DataType | None:
    start = cursor.at
    cursor.at += 1
    if cursor.kind != "LPAR":
        cursor.leaf()
        return None
    indices = parse.elements(cursor.parentheses())
    if not cursor.accept("OF"):
        cursor.leaf()
        return None
    begin = cursor.at
    element = parse.declaration(cursor.leaf())
    if isinstance(element, Failure):
        cursor.recover(begin, element)
        return None
    dimensions: list[Dimension] = []
    for index in indices:
        if isinstance(index, tuple):
            return None
        dimensions.append(dimension(index))
    return DataType("array", dimensions=tuple(dimensions), element=element[0], span=cursor.span(start))


def _record(cursor: Cursor, name: str) -> DataType:
    """`record … end record`; a field that is not understood is a field of unsupported type."""
    start = cursor.at
    cursor.at += 1
    cursor.open("record", name)
    fields: list[Field] = []
    while cursor.kind == "NAME":
        begin = cursor.at
        tokens = cursor.leaf()
        names, after = identifiers(tokens, 0)
        declared = parse.declaration(tokens[after:]) if names else Failure("", None)
        if isinstance(declared, Failure):
            cursor.recover(begin, declared)
            declared = (DataType("unsupported", "unreadable field"), None)
        fields.extend(Field(each.value, declared[0], (), span=each.span) for each in names)
        if cursor.at == begin:
            break
    close(cursor)
    return DataType("struct", fields=tuple(fields), span=cursor.span(start))


def _numeric(cursor: Cursor) -> DataType | None:
    """`range a to b`: an integer or real type, with the bounds as parameter `range`; or a physical type."""
    start = cursor.at
    cursor.at += 1
    tokens = cursor.leaf()
    if any(token.type == "UNITS" for token in tokens):
        while cursor.kind == "NAME":
            cursor.leaf()
        if cursor.kind == "END":
            skip_end(cursor)
        return DataType("unsupported", "physical")
    bounds = parse.discrete_range(tokens, cursor.here())
    name = "integer"
    if isinstance(bounds, Slice):
        left = bounds.left.operand if isinstance(bounds.left, Unary) else bounds.left
        name = "real" if isinstance(left, Real) else "integer"
    return DataType("builtin", name, parameters=(("range", bounds),), span=cursor.span(start))


def _protected_body(cursor: Cursor, start: int, name: Token) -> list[Item]:
    """`protected body … end protected body;`: what it declares."""
    from memlint.reading.vhdl.subprograms import declaration, is_declaration

    if len(cursor.opened) >= MAX_NESTING:
        _protected(cursor)
        return [cursor.skipped_as_too_deep(f"declarations nested more than {MAX_NESTING} deep", start)]
    cursor.at += 2
    cursor.open("protected", name.value)
    items: list[Item] = []
    while not cursor.at_unit() and cursor.kind != "EOF":
        if is_declaration(cursor.kind):
            items.extend(declaration(cursor))
        elif cursor.kind == "END":
            if cursor.peek().type == "NAME" and cursor.peek().value == "protected":
                cursor.leaf()
                break
            if closes(cursor) is not None:
                break
            skip_end(cursor)
        else:
            begin = cursor.at
            cursor.leaf()
            # Where a statement begins that has no place here, nothing is taken: step over its first word.
            cursor.at = max(cursor.at, begin + 1)
            items.append(cursor.skipped("declaration", begin))
    cursor.opened.pop()
    return [Nested(name.value, "protected_body", tuple(items), span=name.span)]


def _protected(cursor: Cursor) -> DataType:
    """`protected … end protected`, skipped: it declares methods, whose bodies stand elsewhere."""
    cursor.at += 1
    while not cursor.at_unit():
        cursor.at = cursor.next_stop()
        if cursor.kind == "EOF":
            break
        if cursor.kind == "END":
            word = cursor.peek()
            cursor.at += 1
            if word.type == "NAME" and word.value == "protected":
                cursor.leaf()
                break
            continue
        cursor.at += 1
    return DataType("unsupported", "protected")
