"""Packages declared or instantiated inside other units."""

from __future__ import annotations

from collections.abc import Callable

from memlint.reading.facts.items import Item
from memlint.reading.vhdl.cursor import Cursor
from memlint.reading.vhdl.lexer import MAX_NESTING


def nested_package(cursor: Cursor, items: Callable[[Cursor], list[Item]]) -> list[Item]:
    """From `package` over its `;` or `end`: read past, named, not kept."""
    start = cursor.at
    cursor.at += 1
    cursor.accept("BODY")
    name = cursor.name()
    if not cursor.accept("IS") or cursor.kind == "NEW" or len(cursor.opened) >= MAX_NESTING:
        cursor.leaf()
        return [cursor.skipped("package instantiation", start)]
    cursor.open("package", name)
    items(cursor)
    cursor.close()
    return [cursor.skipped("nested package", start)]
