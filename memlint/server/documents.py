"""The open documents: our own texts, changed only as a whole."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from lsprotocol import types

from memlint.server.places import path_of
from memlint.text.edits import RangeChange, WholeChange, apply_changes
from memlint.text.encodings import Encoding
from memlint.text.source import SourceText

_SUFFIXES = {"verilog": ".v", "systemverilog": ".sv", "vhdl": ".vhd"}


@dataclass(frozen=True, slots=True)
class Document:
    """One open document at one moment.

    `version` is the editor's number. `stamp` is ours: it differs between any two states of any
    documents, also for editors that never raise the version. `path` is None for what was never saved.
    `edited_line` is the line (from 0) that the last change ended on, None while nothing was typed.
    """

    uri: str
    path: Path | None
    language: str
    version: int
    stamp: int
    source: SourceText
    edited_line: int | None = None

    @property
    def name(self) -> str:
        """A name with an ending that tells the language, for a text that is on no disk."""
        if self.path is not None:
            return self.path.name
        last = self.uri.rpartition("/")[2].rpartition(":")[2] or "untitled"
        suffix = _SUFFIXES.get(self.language, "")
        return last if not suffix or last.endswith(suffix) else last + suffix


class Documents:
    """The open documents by URI."""

    def __init__(self) -> None:
        self._by_uri: dict[str, Document] = {}
        self._stamp = 0

    def __iter__(self) -> Iterator[Document]:
        return iter(tuple(self._by_uri.values()))

    def get(self, uri: str) -> Document | None:
        """The document with that URI as it is now, None when it is not open."""
        return self._by_uri.get(uri)

    def at(self, path: Path) -> Document | None:
        """The open document of a path."""
        return next((one for one in self._by_uri.values() if one.path == path), None)

    def newest(self) -> Document | None:
        """The one that was opened or changed last; None where none is open."""
        return max(self._by_uri.values(), key=lambda one: one.stamp, default=None)

    def version(self, uri: str) -> int | None:
        """The editor's number for a document, None when it is not open."""
        document = self._by_uri.get(uri)
        return document.version if document is not None else None

    def open(self, item: types.TextDocumentItem) -> Document:
        """Takes a document over from the editor; opening it again replaces its text."""
        document = Document(
            item.uri,
            path_of(item.uri),
            item.language_id,
            item.version,
            self._next_stamp(),
            SourceText(item.uri, item.text),
        )
        self._by_uri[item.uri] = document
        return document

    def change(
        self,
        uri: str,
        version: int,
        changes: Sequence[types.TextDocumentContentChangeEvent],
        encoding: Encoding,
    ) -> Document | None:
        """The document after the changes, all of one version; None if it is not open or they are older
        than what is known (a version must not fall; one that stays is an editor that does not count)."""
        document = self._by_uri.get(uri)
        if document is None or version < document.version:
            return None
        ours = [_change(one) for one in changes]
        source = apply_changes(document.source, ours, encoding)
        document = replace(
            document,
            version=version,
            stamp=self._next_stamp(),
            source=source,
            edited_line=_edited_line(ours, document.edited_line),
        )
        self._by_uri[uri] = document
        return document

    def rest(self, uri: str) -> Document | None:
        """The document with nobody typing in it (any more)."""
        document = self._by_uri.get(uri)
        if document is not None and document.edited_line is not None:
            document = replace(document, edited_line=None)
            self._by_uri[uri] = document
        return document

    def close(self, uri: str) -> Document | None:
        """Forgets a document and gives it back; None if it was not open."""
        return self._by_uri.pop(uri, None)

    def _next_stamp(self) -> int:
        self._stamp += 1
        return self._stamp


def _change(event: types.TextDocumentContentChangeEvent) -> RangeChange | WholeChange:
    if isinstance(event, types.TextDocumentContentChangePartial):
        start, end = event.range.start, event.range.end
        return RangeChange((start.line, start.character), (end.line, end.character), event.text)
    return WholeChange(event.text)


def _edited_line(changes: Sequence[RangeChange | WholeChange], before: int | None) -> int | None:
    match changes:
        case [*_, RangeChange(start=start, text=text)]:
            return start[0] + text.replace("\r\n", "\n").replace("\r", "\n").count("\n")
        case [*_, WholeChange()]:
            return None
        case _:
            return before
