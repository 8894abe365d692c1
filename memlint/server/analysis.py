"""One analysis of a project: what was asked, and everything the editor is told from it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

from lsprotocol import types

from memlint.design.design import Design
from memlint.engine.judgement import Judgement
from memlint.engine.settings import Settings
from memlint.reading.facts.items import FileFacts
from memlint.server.client import Client
from memlint.server.documents import Document
from memlint.server.hints import Hint
from memlint.server.pages import Pages
from memlint.server.places import lsp_range, uri_of
from memlint.server.preferences import Preferences
from memlint.text.encodings import Encoding
from memlint.text.source import SourceText, Span


@dataclass(frozen=True, slots=True)
class Task:
    """What to analyse: every open document as it was at one moment, and which of them the project is
    to speak about (by URI). `pages` are where findings point to for their rules. `disk` counts the changes
    of files on the disk that were told of; those in the `watched` folders all are."""

    revision: int
    documents: tuple[Document, ...]
    members: frozenset[str]
    client: Client
    preferences: Preferences = Preferences()
    pages: Pages = field(default_factory=Pages)
    disk: int = 0
    watched: tuple[Path, ...] = ()


Taken = tuple[str, str | None, Fraction | None]
"""Path, tier and blocks of a memory."""


@dataclass(frozen=True, slots=True)
class Judged:
    """A judgement with what it was made from. Only the worker may look into it.

    `uris` are those of its files, as the editor writes them where it has them open. `alone` tells a file
    that is in no project's sources and was judged by itself. `taken` is what each memory takes: all that
    lenses are made of.
    """

    judgement: Judgement
    design: Design
    facts: tuple[FileFacts, ...]
    settings: Settings
    uris: Mapping[str, str]
    alone: bool = False
    taken: tuple[Taken, ...] = ()

    def uri(self, file: str) -> str:
        """The URI of a file of the judgement."""
        return self.uris.get(file) or uri_of(Path(self.settings.root).absolute() / file)

    def location(self, span: Span, encoding: Encoding) -> types.Location:
        """A span as the editor is told of it."""
        source = self.judgement.sources.get(span.file)
        return types.Location(self.uri(span.file), lsp_range(source, span, encoding))

    def facts_of(self, file: str) -> FileFacts | None:
        """What was read of one file."""
        return next((one for one in self.facts if one.file == file), None)


@dataclass(frozen=True, slots=True)
class FileAnswer:
    """What is known of one open document: `source` is the text it holds for, under the name that the
    judgement uses, and `stamp` its document's. `judged` is None where there was nothing to judge."""

    stamp: int
    source: SourceText
    judged: Judged | None
    diagnostics: tuple[types.Diagnostic, ...] = ()
    hints: tuple[Hint, ...] = ()

    @property
    def judgement(self) -> Judgement | None:
        """What was found, None where there was nothing to judge."""
        return self.judged.judgement if self.judged is not None else None


@dataclass(frozen=True, slots=True)
class Analysis:
    """The answers for one revision of a project.

    `files` lacks documents that could not be judged this time: what was said of them last still stands.
    `others` are diagnostics of files that need not be open: memlint.toml, profiles, file lists, and, where
    the user wants it, every source.
    """

    revision: int
    files: Mapping[str, FileAnswer] = field(default_factory=dict)
    others: Mapping[Path, tuple[types.Diagnostic, ...]] = field(default_factory=dict)


def taken_of(judgement: Judgement) -> tuple[Taken, ...]:
    """What each memory takes."""
    return tuple(
        (
            view.memory.path,
            view.tier.name if view.tier is not None else None,
            view.placement.blocks if view.placement is not None else None,
        )
        for view in judgement.memories
    )


def hints_moved(before: Mapping[str, FileAnswer], now: Mapping[str, FileAnswer]) -> bool:
    """Whether hints changed in a document that did not: an editor asks again only where someone types."""
    return any(was.hints != answer.hints for was, answer in _unchanged(before, now))


def lenses_moved(before: Mapping[str, FileAnswer], now: Mapping[str, FileAnswer]) -> bool:
    """Whether lenses may have changed in a document that did not."""
    return any(_taken(was) != _taken(answer) for was, answer in _unchanged(before, now))


def _taken(answer: FileAnswer) -> tuple[Taken, ...]:
    return answer.judged.taken if answer.judged is not None else ()


def _unchanged(
    before: Mapping[str, FileAnswer], now: Mapping[str, FileAnswer]
) -> Iterator[tuple[FileAnswer, FileAnswer]]:
    """What is said of documents with the same text, before and now."""
    for uri, answer in now.items():
        if uri in before and before[uri].stamp == answer.stamp:
            yield before[uri], answer
