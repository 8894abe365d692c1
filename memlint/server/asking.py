"""What most requests need: a document as it was when they came, and what is known of that very text."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from lsprotocol import types
from pygls.exceptions import JsonRpcContentModified, JsonRpcException

from memlint.engine.judgement import Judgement
from memlint.server.analysis import FileAnswer, Judged
from memlint.server.client import Client
from memlint.server.documents import Document
from memlint.server.server import Server
from memlint.text.encodings import Encoding, offset_at
from memlint.text.source import SourceText

Result = TypeVar("Result")


class RequestFailed(JsonRpcException):
    """A request that is well formed and cannot be done; the message says why (LSP 3.17, RequestFailed)."""

    CODE = types.LSPErrorCodes.RequestFailed.value
    MESSAGE = "Request failed"


@dataclass(frozen=True, slots=True)
class Seen:
    """A document and what is known of its text."""

    document: Document
    answer: FileAnswer
    judged: Judged
    client: Client

    @property
    def source(self) -> SourceText:
        """The text, under the name that the judgement uses."""
        return self.answer.source

    @property
    def judgement(self) -> Judgement:
        """What was found."""
        return self.judged.judgement

    @property
    def encoding(self) -> Encoding:
        """How the editor counts."""
        return self.client.encoding

    def offset(self, place: types.Position) -> int:
        """The offset of an editor's position."""
        return offset_at(self.source, place.line, place.character, self.encoding)


async def about(server: Server, uri: str, job: Callable[[Seen], Result]) -> Result | None:
    """What `job`, called in the worker, finds out about a document once that is judged as it is now.

    None for a document that is not open or has nothing to judge. Raises JsonRpcContentModified where
    the text changed while this waited: the editor asks again, if it still wants to know.
    """
    session = server.session
    document, project = session.documents.get(uri), session.project_of(uri)
    if document is None or project is None:
        return None
    await project.settled()
    if session.documents.get(uri) is not document and _text(server, uri) != document.source.text:
        raise JsonRpcContentModified("The document has changed")
    answer = project.answers.get(uri)
    if answer is None or answer.judged is None or answer.source.text != document.source.text:
        return None
    seen = Seen(document, answer, answer.judged, session.client)
    return await session.worker.submit(lambda: job(seen))


def _text(server: Server, uri: str) -> str | None:
    document = server.session.documents.get(uri)
    return document.source.text if document is not None else None
