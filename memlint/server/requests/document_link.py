"""`textDocument/documentLink`: from the tiers in intents to the profile, from rules to their pages."""

from __future__ import annotations

import sys
from collections.abc import Awaitable, Iterator
from pathlib import Path

from lsprotocol import types

from memlint.rules.base import rule_named
from memlint.server.asking import Seen, about
from memlint.server.navigation import Meant, names_in, tier_lines
from memlint.server.places import lsp_range, uri_of
from memlint.server.server import Server

METHOD = types.TEXT_DOCUMENT_DOCUMENT_LINK


def handle(server: Server, params: types.DocumentLinkParams) -> Awaitable[list[types.DocumentLink] | None]:
    """Links to what is really there: the profile's file at the tier's line, and the file whose docstring is
    the rule's documentation."""
    return about(server, params.text_document.uri, lambda seen: list(_links(seen)))


def _links(seen: Seen) -> Iterator[types.DocumentLink]:
    for meant in names_in(seen.source, seen.document.language):
        found = _target(meant, seen)
        if found is not None:
            place = lsp_range(seen.source, meant.span, seen.encoding)
            yield types.DocumentLink(place, found[0], found[1] if seen.client.link_tooltips else None)


def _target(meant: Meant, seen: Seen) -> tuple[str, str] | None:
    if meant.kind == "tier":
        lines = tier_lines(meant.name, seen.judged)
        if lines and lines[0].path is not None:
            tip = f"tier {meant.name} of {seen.judgement.device.name}"
            return f"{uri_of(lines[0].path)}#L{lines[0].line}", tip
    rule = rule_named(meant.name) if meant.kind == "rule" else None
    file = sys.modules[type(rule).__module__].__file__ if rule is not None else None
    if file is None:
        return None
    return uri_of(Path(file)), f"what {meant.name} finds and why it costs"
