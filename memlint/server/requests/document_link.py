"""`textDocument/documentLink`: from the tiers in intents to the profile, from rules to their pages."""

from __future__ import annotations

from collections.abc import Awaitable, Iterator

from lsprotocol import types

from memlint.server.asking import Seen, about
from memlint.server.navigation import Meant, names_in, tier_lines
from memlint.server.pages import Pages
from memlint.server.places import lsp_range, uri_of
from memlint.server.server import Server

METHOD = types.TEXT_DOCUMENT_DOCUMENT_LINK


def handle(server: Server, params: types.DocumentLinkParams) -> Awaitable[list[types.DocumentLink] | None]:
    """Links to the profile's file at the tier's line, and to the page about the rule."""
    pages = server.session.pages
    return about(server, params.text_document.uri, lambda seen: list(_links(seen, pages)))


def _links(seen: Seen, pages: Pages) -> Iterator[types.DocumentLink]:
    for meant in names_in(seen.source, seen.document.language):
        found = _target(meant, seen, pages)
        if found is not None:
            place = lsp_range(seen.source, meant.span, seen.encoding)
            yield types.DocumentLink(place, found[0], found[1] if seen.client.link_tooltips else None)


def _target(meant: Meant, seen: Seen, pages: Pages) -> tuple[str, str] | None:
    if meant.kind == "tier":
        lines = tier_lines(meant.name, seen.judged)
        if lines and lines[0].path is not None:
            tip = f"tier {meant.name} of {seen.judgement.device.name}"
            return f"{uri_of(lines[0].path)}#L{lines[0].line}", tip
    page = pages.rule(meant.name) if meant.kind == "rule" else None
    return (page, f"what {meant.name} finds and why it costs") if page is not None else None
