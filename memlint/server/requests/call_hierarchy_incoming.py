"""`callHierarchy/incomingCalls`: the units that instantiate a unit."""

from __future__ import annotations

from collections.abc import Awaitable

from lsprotocol import types

from memlint.server.asking import Seen, about
from memlint.server.call_hierarchy import incoming, item
from memlint.server.server import Server

METHOD = types.CALL_HIERARCHY_INCOMING_CALLS

Calls = list[types.CallHierarchyIncomingCall]


def handle(server: Server, params: types.CallHierarchyIncomingCallsParams) -> Awaitable[Calls | None] | None:
    """Each once, with the places of its instances."""
    data = params.item.data if isinstance(params.item.data, dict) else {}
    uri, name = data.get("uri"), data.get("unit")
    if not isinstance(uri, str) or not isinstance(name, str):
        return None
    return about(server, uri, lambda seen: _calls(seen, uri, name))


def _calls(seen: Seen, uri: str, name: str) -> Calls:
    judged, encoding = seen.judged, seen.encoding
    return [
        types.CallHierarchyIncomingCall(
            item(unit, judged, encoding, uri), [judged.location(span, encoding).range for span in spans]
        )
        for unit, spans in incoming(name, judged).values()
    ]
