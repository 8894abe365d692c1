"""The engines of one project. Used in the worker's thread only, never by two threads."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from lsprotocol import types

from memlint.device.errors import ProfileError
from memlint.engine import Engine, open_project
from memlint.engine.config import load_settings
from memlint.engine.files import VERILOG, VHDL, relative
from memlint.engine.judgement import Judgement
from memlint.engine.settings import ProjectError
from memlint.rules.finding import Finding
from memlint.server.analysis import Analysis, FileAnswer, Task
from memlint.server.config_problems import ConfigProblem, config_diagnostics, config_problems
from memlint.server.diagnostics import Sight, diagnostics_of
from memlint.server.documents import Document
from memlint.server.hints import hints_of
from memlint.server.places import uri_of
from memlint.text.source import SourceText

Stamp = tuple[tuple[int, int] | None, ...]


@dataclass(slots=True)
class Bench:
    """A project's engine, and one for each open file that is in no project's sources.

    `config` is the project's memlint.toml; without one, every file is judged alone.
    """

    config: Path | None
    _engine: Engine | None = None
    _loaded: Stamp = ()
    _shown: set[str] = field(default_factory=set)
    _alone: dict[str, Engine] = field(default_factory=dict)

    def analyse(self, task: Task) -> Analysis:
        """Judges everything as the task has it. Mistakes in the configuration are part of the answer;
        with one that cannot be used, the last one that could is used on."""
        problems = [*self._load()]
        judgement: Judgement | None = None
        self._alone = {uri: engine for uri, engine in self._alone.items() if uri in task.members}
        if self._engine is not None and self.config is not None:
            try:
                self._show(self._engine, task)
                judgement = self._engine.judge()
            except (ProjectError, ProfileError) as error:
                problems += config_problems(error, self.config)
        files = {
            document.uri: answer
            for document in task.documents
            if document.uri in task.members
            and (answer := self._answer(document, judgement, task)) is not None
        }
        return Analysis(task.revision, files, self._others(problems, judgement, task))

    def _load(self) -> tuple[ConfigProblem, ...]:
        """A new engine if the configuration changed since the last one; what is wrong with it."""
        if self.config is None or (self._engine is not None and self._loaded == self._stamp(self._engine)):
            return ()
        try:
            engine = open_project((), config=str(self.config))
            loaded = self._stamp(engine)
        except (ProjectError, ProfileError) as error:
            self._loaded = ()
            return config_problems(error, self.config)
        self._engine, self._loaded = engine, loaded
        self._shown, self._alone = set(), {}
        return ()

    def _stamp(self, engine: Engine) -> Stamp:
        """Time and size of memlint.toml and of each profile file; raises ProfileError."""
        assert self.config is not None
        return tuple(_file_stamp(path) for path in (str(self.config), *engine.device.files))

    def _show(self, engine: Engine, task: Task) -> None:
        """Gives the engine the open documents that lie below its root or that it reads anyway."""
        root = Path(engine.settings.root)
        known = set(engine.files().files)
        shown = set()
        for document in task.documents:
            if document.path is None:
                continue
            name = relative(document.path, root)
            if name in known or not os.path.isabs(name):
                engine.set_text(name, document.source.text)
                shown.add(name)
        for name in self._shown - shown:
            engine.set_text(name, None)
        self._shown = shown

    def _answer(self, document: Document, judgement: Judgement | None, task: Task) -> FileAnswer | None:
        """What is said of a document; None while its project cannot be judged."""
        engine = self._engine
        if engine is None and self.config is not None:
            return FileAnswer(document.stamp, document.source, None)
        name = self._name(document)
        if engine is not None:
            if judgement is None:
                return None
            if name in judgement.sources or not name.endswith((*VERILOG, *VHDL)):
                source = judgement.sources.get(name) or SourceText(name, document.source.text)
                return _answer(document, source, judgement, Path(engine.settings.root), task)
        elif not name.endswith((*VERILOG, *VHDL)):
            return FileAnswer(document.stamp, document.source, None)
        alone = self._engine_alone(document, name, engine)
        alone.set_text(name, document.source.text)
        judged = alone.judge()
        source = judged.sources.get(name) or SourceText(name, document.source.text)
        return _answer(document, source, judged, Path(alone.settings.root), task)

    def _name(self, document: Document) -> str:
        if document.path is None:
            return document.name
        if self._engine is None:
            return document.path.name
        return relative(document.path, Path(self._engine.settings.root))

    def _engine_alone(self, document: Document, name: str, engine: Engine | None) -> Engine:
        """An engine for one file that no project's sources name; with the settings of the project that
        it lies in, but for what those say of other files."""
        known = self._alone.get(document.uri)
        if known is not None:
            return known
        if engine is not None:
            settings = replace(engine.settings, sources=(), file_lists=(), top=(), intents=())
            alone = Engine(settings, {}, [name], engine.device)
        else:
            folder = document.path.parent if document.path is not None else Path("/nonexistent")
            settings = replace(load_settings(None, folder), root=str(folder))
            alone = Engine(settings, {}, [name])
        self._alone[document.uri] = alone
        return alone

    def _others(
        self, problems: list[ConfigProblem], judgement: Judgement | None, task: Task
    ) -> dict[Path, tuple[types.Diagnostic, ...]]:
        """Diagnostics of the files that the configuration consists of."""
        texts = {one.path: one.source for one in task.documents if one.path is not None}
        found = config_diagnostics(problems, texts, task.client.encoding)
        if judgement is not None and self._engine is not None:
            root = Path(self._engine.settings.root)
            open_files = {one.path for one in task.documents if one.uri in task.members}
            for name in (self._engine.settings.file, *self._engine.settings.file_lists):
                path = root / name
                mine = [one for one in judgement.findings if one.span.file == name]
                if mine and path not in open_files:
                    sight = Sight(judgement.sources, _uris(judgement, root, task), task.client)
                    found.setdefault(path, []).extend(diagnostics_of(mine, sight))
        return {path: tuple(diagnostics) for path, diagnostics in found.items()}


def _answer(
    document: Document, source: SourceText, judgement: Judgement, root: Path, task: Task
) -> FileAnswer:
    mine: list[Finding] = [one for one in judgement.findings if one.span.file == source.file]
    sight = Sight(judgement.sources, _uris(judgement, root, task), task.client)
    return FileAnswer(
        document.stamp,
        source,
        judgement,
        diagnostics_of(mine, sight),
        hints_of(judgement.memories, source),
    )


def _uris(judgement: Judgement, root: Path, task: Task) -> Mapping[str, str]:
    """The URI of each file of a judgement: the editor's own for what it has open."""
    opened = {one.path: one.uri for one in task.documents}
    paths = {file: root / file for file in judgement.sources}
    return {file: opened.get(path) or uri_of(path) for file, path in paths.items()}


def _file_stamp(file: str) -> tuple[int, int] | None:
    try:
        status = os.stat(file)
    except OSError:
        return None
    return status.st_mtime_ns, status.st_size
