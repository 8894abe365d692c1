"""`textDocument/documentSymbol`: the memories of a document, within their units."""

from __future__ import annotations

from collections.abc import Awaitable

from lsprotocol import types

from memlint.server.asking import Seen, about
from memlint.server.server import Server
from memlint.server.symbols import flat, outline

METHOD = types.TEXT_DOCUMENT_DOCUMENT_SYMBOL

Symbols = list[types.DocumentSymbol] | list[types.SymbolInformation]


def handle(server: Server, params: types.DocumentSymbolParams) -> Awaitable[Symbols | None]:
    """A tree, or a list for editors that know no tree."""
    return about(server, params.text_document.uri, _symbols)


def _symbols(seen: Seen) -> Symbols:
    tree = outline(seen)
    return tree if seen.client.nested_symbols else list(flat(tree, seen.document.uri))
