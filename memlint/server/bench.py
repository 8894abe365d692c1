"""The engines of one project. Used in the worker's thread only, never by two threads."""

from __future__ import annotations

import gc
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from pathlib import Path

from lsprotocol import types

from memlint.device.errors import ProfileError
from memlint.engine import Engine
from memlint.engine.config import load_settings
from memlint.engine.files import VERILOG, VHDL, relative
from memlint.engine.judgement import Judgement
from memlint.engine.settings import ProjectError
from memlint.server.analysis import Analysis, FileAnswer, Judged, Task, taken_of
from memlint.server.config_problems import ConfigProblem, config_diagnostics, config_problems
from memlint.server.diagnostics import Sight, diagnostics_of
from memlint.server.documents import Document
from memlint.server.hints import hints_of
from memlint.server.places import uri_of
from memlint.server.tree import EditorTree
from memlint.server.watched import all_watched
from memlint.text.source import SourceText

Stamp = tuple[object, ...]

Notice = Callable[[int, int], None]
"""Called with the number of the file that is read next and how many there are; may raise to stop."""


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
    _disk: int | None = None
    _settled: bool = False

    def analyse(self, task: Task, notice: Notice) -> Analysis:
        """Judges everything as the task has it. Mistakes in the configuration are part of the answer;
        with one that cannot be used, the last one that could is used on. Raises what `notice` raises."""
        problems = [*self._load(task)]
        seen: _Seen | None = None
        self._alone = {uri: engine for uri, engine in self._alone.items() if uri in task.members}
        if self._engine is not None and self.config is not None:
            try:
                if self._disk != task.disk:
                    self._engine.look_again()
                # Unless the judging ends well, nothing is known of what it would have been made from.
                self._disk = None
                self._show(self._engine, task)
                self._engine.on_file = notice
                seen = _judge(self._engine, task)
                if all_watched(self._engine.settings, seen.judged.judgement, task.watched):
                    self._disk = task.disk
                if not self._settled:
                    self._settled = True
                    _leave_in_peace()
            except (ProjectError, ProfileError) as error:
                problems += config_problems(error, self.config)
        files = {
            document.uri: answer
            for document in task.documents
            if document.uri in task.members and (answer := self._answer(document, seen, task)) is not None
        }
        return Analysis(task.revision, files, self._others(problems, seen, task))

    @contextmanager
    def changed(self, uri: str) -> Iterator[Callable[[dict[str, str]], Judgement]]:
        """To judge what speaks of a document with other texts, as often as wanted; then all is as before."""
        engine = self._alone.get(uri) or self._engine
        assert engine is not None
        before = dict(engine.texts.overlay)

        def judge(texts: dict[str, str]) -> Judgement:
            engine.texts.overlay.update(texts)
            return engine.judge()

        try:
            yield judge
        finally:
            engine.texts.overlay.clear()
            engine.texts.overlay.update(before)
            # The instances of a design stand for what the engine judged last: back to these texts.
            with suppress(ProjectError, ProfileError):
                engine.judge()

    def _load(self, task: Task) -> tuple[ConfigProblem, ...]:
        """A new engine if the configuration changed since the last one; what is wrong with it."""
        if self.config is None:
            return ()
        texts = {one.path: one.source.text for one in task.documents if one.path is not None}
        if self._engine is not None and self._loaded == self._stamp(self._engine, texts):
            return ()
        tree = EditorTree(self.config.parent)
        tree.texts = texts
        try:
            engine = Engine(load_settings(self.config, self.config.parent, tree.load), tree=tree)
            loaded = self._stamp(engine, texts)
        except (ProjectError, ProfileError) as error:
            self._loaded = ()
            return config_problems(error, self.config)
        engine.keep_files()
        self._engine, self._loaded, self._disk = engine, loaded, None
        self._shown, self._alone, self._settled = set(), {}, False
        return ()

    def _stamp(self, engine: Engine, texts: dict[Path, str]) -> Stamp:
        """What changes with memlint.toml and each profile file; raises ProfileError."""
        assert self.config is not None
        paths = (self.config, *map(Path, engine.device.files))
        return tuple(texts[path] if path in texts else _file_stamp(path) for path in paths)

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

    def _answer(self, document: Document, seen: _Seen | None, task: Task) -> FileAnswer | None:
        """What is said of a document; None while its project cannot be judged."""
        if self.config is not None and seen is None:
            return None if self._engine is not None else FileAnswer(document.stamp, document.source, None)
        name = self._name(document)
        is_hdl = name.endswith((*VERILOG, *VHDL))
        if seen is not None and (name in seen.judged.judgement.sources or not is_hdl):
            return seen.answer(document, name, task)
        if not is_hdl:
            return FileAnswer(document.stamp, document.source, None)
        alone = self._engine_alone(document, name)
        alone.set_text(name, document.source.text)
        return _judge(alone, task, alone=True).answer(document, name, task)

    def _name(self, document: Document) -> str:
        if document.path is None:
            return document.name
        if self._engine is None:
            return document.path.name
        return relative(document.path, Path(self._engine.settings.root))

    def _engine_alone(self, document: Document, name: str) -> Engine:
        """An engine for one file that no project's sources name; with the settings of the project that
        it lies in, but for what those say of other files."""
        known, engine = self._alone.get(document.uri), self._engine
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
        self, problems: list[ConfigProblem], seen: _Seen | None, task: Task
    ) -> dict[Path, tuple[types.Diagnostic, ...]]:
        """Diagnostics of the files that the configuration consists of, and of all others if wanted."""
        texts = {one.path: one.source for one in task.documents if one.path is not None}
        found = config_diagnostics(problems, texts, task.client.encoding)
        if seen is not None and self._engine is not None:
            settings = self._engine.settings
            names = dict.fromkeys((settings.file, *settings.file_lists))
            members = {one.path for one in task.documents if one.uri in task.members}
            told = [name for name in names if Path(settings.root) / name not in members]
            if task.preferences.whole_project:
                files = dict.fromkeys(one.span.file for one in seen.judged.judgement.findings)
                told += [one for one in files if one not in names and Path(settings.root) / one not in texts]
            for name in told:
                if mine := seen.diagnostics(name):
                    found.setdefault(Path(settings.root) / name, []).extend(mine)
        return {path: tuple(diagnostics) for path, diagnostics in found.items()}


@dataclass(frozen=True, slots=True)
class _Seen:
    """A judgement, and how it is seen by the editor."""

    judged: Judged
    sight: Sight

    def diagnostics(self, name: str) -> tuple[types.Diagnostic, ...]:
        """Those of one file."""
        findings = self.judged.judgement.findings
        return diagnostics_of([one for one in findings if one.span.file == name], self.sight)

    def answer(self, document: Document, name: str, task: Task) -> FileAnswer:
        """What it says of a document."""
        judgement = self.judged.judgement
        source = judgement.sources.get(name) or SourceText(name, document.source.text)
        hints = hints_of(judgement, source, task.preferences.hints)
        return FileAnswer(document.stamp, source, self.judged, self.diagnostics(name), hints)


def _judge(engine: Engine, task: Task, alone: bool = False) -> _Seen:
    """Raises ProjectError or ProfileError, as the engine does."""
    judgement = engine.judge()
    root = Path(engine.settings.root)
    # The editor's own URI for what it has open: it may write them in another way than we do.
    opened = {one.path: one.uri for one in task.documents}
    paths = {file: root / file for file in judgement.sources}
    uris = {file: opened.get(path) or uri_of(path) for file, path in paths.items()}
    judged = Judged(judgement, *engine.elaborated, engine.settings, uris, alone, taken_of(judgement))
    return _Seen(judged, Sight(judgement.sources, uris, task.client, task.pages))


def _leave_in_peace() -> None:
    """Takes what there is out of the searches for unreachable objects, which walk all others.

    What a project was first read into is a million objects, and nearly all of them stay: each full search
    would stop an edit for their sake. Of these objects, those that edits replace are then not given back
    where they refer to each other; that is at most what was there once. With another engine all are searched.
    """
    gc.unfreeze()
    gc.collect()
    gc.freeze()


def _file_stamp(path: Path) -> object | None:
    try:
        status = path.stat()
    except OSError:
        return None
    return status.st_mtime_ns, status.st_size
