"""VHDL context declarations: a reference to one stands for the clauses in it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from memlint.reading.facts.items import Import, Item, Unit

Contexts = Mapping[tuple[str, str], Unit]
_DEEPEST = 8


def expanded(unit: Unit, home: str, contexts: Contexts) -> Unit:
    """The unit with each context reference replaced by the context's own clauses.

    `contexts` are known by library and name; `work` inside a context is the library it stands in.
    """
    if not any(isinstance(item, Import) and _context(item, home, contexts) for item in unit.items):
        return unit
    return replace(unit, items=tuple(_expanded(unit.items, home, contexts, 0)))


def _expanded(items: Iterable[Item], home: str, contexts: Contexts, depth: int) -> Iterable[Item]:
    for item in items:
        context = _context(item, home, contexts) if isinstance(item, Import) else None
        if context is None or depth >= _DEEPEST:
            yield item
            continue
        library = _library(item, home)
        for inner in _expanded(context.items, library, contexts, depth + 1):
            if isinstance(inner, Import) and inner.library in ("", "work"):
                inner = replace(inner, library=library)
            yield inner


def _context(item: Item, home: str, contexts: Contexts) -> Unit | None:
    if not isinstance(item, Import) or item.name != "*":
        return None
    return contexts.get((_library(item, home), item.package))


def _library(item: Item, home: str) -> str:
    written = item.library if isinstance(item, Import) else ""
    return home if written in ("", "work") else written
