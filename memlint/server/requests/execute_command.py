"""`workspace/executeCommand`: what a user calls by name."""

from __future__ import annotations

from collections.abc import Awaitable

from lsprotocol import types
from pygls.exceptions import JsonRpcInvalidParams

from memlint.server.asking import RequestFailed
from memlint.server.commands import COMMANDS, OVERVIEW, overview, which
from memlint.server.places import uri_of
from memlint.server.server import Server

METHOD = types.WORKSPACE_EXECUTE_COMMAND


def handle(server: Server, params: types.ExecuteCommandParams) -> Awaitable[object]:
    """Both commands take the URI of an open document; without one, as users type them in editors that know
    no more of commands than to send them, it is the document last opened or changed.

    `memlint.whichConfiguration` returns by what the document is judged, and shows it only if no URI was
    given: editors ask often by themselves. `memlint.overview` writes the page about its project, shows it
    where the editor can, and returns its URI."""
    arguments = params.arguments or ()
    if params.command not in COMMANDS:
        raise JsonRpcInvalidParams(f"There is no command {params.command}: {', '.join(COMMANDS)}")
    if not arguments:
        newest = server.session.documents.newest()
        if newest is None:
            raise RequestFailed(f"{params.command} is about a document, and none is open")
        return _run(server, params.command, newest.uri, show=True)
    if not isinstance(arguments[0], str):
        raise JsonRpcInvalidParams(f"{params.command} takes the URI of a document")
    return _run(server, params.command, arguments[0], show=False)


async def _run(server: Server, command: str, uri: str, show: bool) -> object:
    session = server.session
    document, project = session.documents.get(uri), session.project_of(uri)
    if document is None or project is None:
        raise RequestFailed(f"{uri} is not open")
    await project.settled()
    answer = project.answers.get(uri)
    judged = answer.judged if answer is not None else None
    if command != OVERVIEW:
        said = which(document, project.config, judged)
        if show:
            server.window_show_message(types.ShowMessageParams(types.MessageType.Info, said.message))
        return said.answer()
    if judged is None:
        raise RequestFailed(which(document, project.config, judged).message)
    page = uri_of(await session.worker.submit(lambda: overview(judged, session.pages)))
    if session.client.shows_documents:
        server.window_show_document(types.ShowDocumentParams(page, external=True))
    return {"uri": page}
