"""`workspace/symbol`: the memories of every project that has a document open."""

from __future__ import annotations

from collections.abc import Awaitable
from itertools import islice

from lsprotocol import types

from memlint.server.analysis import Judged
from memlint.server.server import Server
from memlint.server.symbols import MOST_FOUND, found_in

METHOD = types.WORKSPACE_SYMBOL


def handle(server: Server, params: types.WorkspaceSymbolParams) -> Awaitable[list[types.WorkspaceSymbol]]:
    """Those whose path fits the query."""
    return _search(server, params.query)


async def _search(server: Server, query: str) -> list[types.WorkspaceSymbol]:
    session = server.session
    every: dict[int, Judged] = {}
    for project in session.projects:
        await project.settled()
        for answer in project.answers.values():
            if answer.judged is not None:
                every[id(answer.judged.judgement)] = answer.judged
    encoding = session.client.encoding

    def search() -> list[types.WorkspaceSymbol]:
        found = (one for judged in every.values() for one in found_in(judged, query, encoding))
        return list(islice(found, MOST_FOUND))

    return await session.worker.submit(search)
