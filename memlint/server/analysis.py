"""One analysis of a project: what was asked, and everything the editor is told from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from lsprotocol import types

from memlint.engine.judgement import Judgement
from memlint.server.client import Client
from memlint.server.documents import Document
from memlint.server.hints import Hint
from memlint.text.source import SourceText


@dataclass(frozen=True, slots=True)
class Task:
    """What to analyse: every open document as it was at one moment, and which of them the project is
    to speak about (by URI)."""

    revision: int
    documents: tuple[Document, ...]
    members: frozenset[str]
    client: Client


@dataclass(frozen=True, slots=True)
class FileAnswer:
    """What is known of one open document: `source` is the text it holds for, under the name that the
    judgement uses, and `stamp` its document's. `judgement` is None where there was nothing to judge."""

    stamp: int
    source: SourceText
    judgement: Judgement | None
    diagnostics: tuple[types.Diagnostic, ...] = ()
    hints: tuple[Hint, ...] = ()


@dataclass(frozen=True, slots=True)
class Analysis:
    """The answers for one revision of a project.

    `files` lacks documents that could not be judged this time: what was said of them last still stands.
    `others` are diagnostics of files that need not be open: memlint.toml, profiles, file lists.
    """

    revision: int
    files: Mapping[str, FileAnswer] = field(default_factory=dict)
    others: Mapping[Path, tuple[types.Diagnostic, ...]] = field(default_factory=dict)
