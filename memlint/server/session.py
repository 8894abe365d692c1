"""What the server knows of one editor: its documents, their projects, what was published."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Protocol

from lsprotocol import types

from memlint.engine.config import CONFIG_NAME, find_config
from memlint.server import reports
from memlint.server.analysis import Analysis, FileAnswer, Task, hints_moved, lenses_moved
from memlint.server.client import Client
from memlint.server.documents import Document, Documents
from memlint.server.pages import Pages
from memlint.server.places import uri_of
from memlint.server.preferences import Preferences
from memlint.server.progress import Progress, ProgressBar
from memlint.server.project import Project
from memlint.server.publisher import Publisher
from memlint.server.reports import Reports
from memlint.server.token_results import TokenResults
from memlint.server.worker import Worker

REST_SECONDS = 1.0
"""How long a line must be left alone before it is held to be finished."""


class Editor(reports.Editor, ProgressBar, Protocol):
    """What the session says to the editor."""

    def refresh_hints(self) -> None:
        """Asks the editor to ask for inlay hints again."""

    def refresh_lenses(self) -> None:
        """Asks the editor to ask for code lenses again."""

    def failed(self, where: str, error: Exception) -> None:
        """Tells of a mistake of our own, without disturbing anyone."""


class Session:
    """Everything the handlers of requests share. Lives in the event loop's thread."""

    def __init__(self, editor: Editor) -> None:
        self.client = Client()
        self.documents = Documents()
        self.worker = Worker()
        self._editor = editor
        self._projects: dict[Path | str, Project] = {}
        self._project_of: dict[str, Project] = {}
        self.preferences = Preferences()
        self.pages = Pages()
        self.tokens = TokenResults()
        self.reports = Reports(editor)
        self._progress: dict[str, Progress] = {}
        self._publisher = Publisher(self.documents, self.reports, self.project_of)
        self._rests: dict[str, asyncio.TimerHandle] = {}
        self._folders: dict[Path, None] = {}
        self._kept: frozenset[Path] = frozenset()
        self._watches = False
        self._disk = 0

    def project_of(self, uri: str) -> Project | None:
        """The project that speaks about an open document."""
        return self._project_of.get(uri)

    async def settled(self, uri: str) -> None:
        """Waits until a document stays as it is for as long as its analysis takes."""
        document = None
        while document is not self.documents.get(uri):
            document, project = self.documents.get(uri), self._project_of.get(uri)
            if project is not None:
                await project.settled()

    @property
    def projects(self) -> tuple[Project, ...]:
        """Every project that has a document open, or all of whose findings are wanted."""
        return tuple(self._projects.values())

    def prefer(self, preferences: Preferences) -> None:
        """Shows what the user wants to see from now on."""
        if preferences == self.preferences:
            return
        before, self.preferences = self.preferences, preferences
        self._keep_projects()
        for project in self.projects:
            project.touch()
        if before.lenses != preferences.lenses and self.client.refreshes_lenses:
            self._editor.refresh_lenses()

    def change_folders(self, added: Iterable[Path], removed: Iterable[Path]) -> None:
        """The folders that the editor shows, which need not have a document open."""
        gone = set(removed)
        self._folders = {folder: None for folder in (*self._folders, *added) if folder not in gone}
        self._keep_projects()

    def _keep_projects(self) -> None:
        """Where all findings are wanted, the projects of the folders need no open document."""
        found = (find_config(folder / CONFIG_NAME) for folder in self._folders)
        wanted = [one for one in found if one is not None] if self.preferences.whole_project else []
        self._kept = frozenset(wanted)
        for config in wanted:
            if config not in self._projects:
                self._new_project(config, config).touch()
        for project in self.projects:
            self._drop_if_empty(project)

    def give_up(self, token: str | int) -> None:
        """The user does not want to wait for what a progress bar shows."""
        if (progress := self._progress.get(str(token))) is not None:
            progress.stop()

    def open(self, item: types.TextDocumentItem) -> None:
        """Takes a document over from the editor."""
        document = self.documents.open(item)
        if document.path is not None and (ours := uri_of(document.path)) != document.uri:
            # The editor writes the file's URI in another way than we did while it was closed.
            self.reports.say(ours, None, ())
        self._assign(document)
        self._touch_readers(document)

    def change(self, params: types.DidChangeTextDocumentParams) -> None:
        """Applies an editor's changes to a document that it has open."""
        identity = params.text_document
        document = self.documents.change(
            identity.uri, identity.version, params.content_changes, self.client.encoding
        )
        if document is None:
            return
        self._rest_later(document.uri)
        self._touch_readers(document)

    def save(self, uri: str) -> None:
        """A document is on the disk as it is here: whoever reads the disk sees it now."""
        document = self.documents.get(uri)
        if document is None:
            return
        self._rest(uri)
        self._assign(document)
        if document.path is not None:
            self.changed_on_disk([document.path])

    def close(self, uri: str) -> None:
        """Gives a document back: from now on the disk counts."""
        document = self.documents.close(uri)
        if document is None:
            return
        if timer := self._rests.pop(uri, None):
            timer.cancel()
        project = self._project_of.pop(uri)
        project.members.discard(uri)
        project.answers.pop(uri, None)
        self.reports.forget(uri)
        self.tokens.forget(uri)
        self._drop_if_empty(project)
        self._touch_readers(document)

    def watch(self) -> None:
        """From now on the editor tells of files that change in its folders."""
        self._watches = True

    def changed_on_disk(self, paths: Iterable[Path]) -> None:
        """Files were written, created or deleted: projects are found anew and analysed."""
        paths = list(paths)
        self._disk += 1
        if any(path.name == CONFIG_NAME for path in paths):
            for document in self.documents:
                self._assign(document)
            self._keep_projects()
        for project in list(self._projects.values()):
            if any(project.may_read(path) for path in paths):
                project.touch()

    def _assign(self, document: Document) -> None:
        """Gives a document to the project that it lies in; a file in none is a project of its own."""
        config = find_config(document.path) if document.path is not None else None
        key: Path | str = config if config is not None else document.uri
        before = self._project_of.get(document.uri)
        project = self._projects.get(key) or self._new_project(key, config)
        if before is project:
            return
        self._project_of[document.uri] = project
        project.members.add(document.uri)
        project.touch()
        if before is not None:
            before.members.discard(document.uri)
            before.answers.pop(document.uri, None)
            self._drop_if_empty(before)

    def _new_project(self, key: Path | str, config: Path | None) -> Project:
        project = Project(
            config, self.worker, self._task, self._publish, self._analysis_failed, self._show_progress
        )
        self._projects[key] = project
        return project

    def _drop_if_empty(self, project: Project) -> None:
        if project.members or project.config in self._kept:
            return
        project.close()
        self._projects = {key: one for key, one in self._projects.items() if one is not project}
        self._publisher.drop(project)

    def _touch_readers(self, document: Document) -> None:
        """Analyses every project that may read a document: its own, and those whose folder it is in."""
        own = self._project_of.get(document.uri)
        for project in list(self._projects.values()):
            if project is own or (document.path is not None and project.may_read(document.path)):
                project.touch()

    def _task(self, project: Project) -> Task:
        members = frozenset(project.members)
        documents = tuple(self.documents)
        watched = tuple(self._folders) if self._watches else ()
        return Task(
            project.revision,
            documents,
            members,
            self.client,
            self.preferences,
            self.pages,
            self._disk,
            watched,
        )

    def _show_progress(self, project: Project) -> Progress:
        """A progress bar for the first reading of a project; later ones are not waited for."""
        is_first = project.analysed == 0 and project.config is not None
        bar = self._editor if self.client.shows_progress and is_first else None
        self._progress = {key: one for key, one in self._progress.items() if not one.ended}
        progress = Progress(f"memlint-{len(self._progress)}-{id(project)}", bar)
        self._progress[progress.token] = progress
        return progress

    def _rest_later(self, uri: str) -> None:
        if timer := self._rests.pop(uri, None):
            timer.cancel()
        loop = asyncio.get_running_loop()
        self._rests[uri] = loop.call_later(REST_SECONDS, self._rest, uri)

    def _rest(self, uri: str) -> None:
        """Nobody types in a document any more: what was held back is said now."""
        if timer := self._rests.pop(uri, None):
            timer.cancel()
        self.documents.rest(uri)
        project = self._project_of.get(uri)
        answer = project.answers.get(uri) if project is not None else None
        if project is not None and answer is not None:
            self._publisher.document(project, uri, answer)

    def _analysis_failed(self, error: Exception) -> None:
        self._editor.failed("the analysis; the findings before it stay", error)

    def _publish(self, project: Project, analysis: Analysis, before: Mapping[str, FileAnswer]) -> None:
        self._publisher.others(project, analysis.others)
        for uri, answer in analysis.files.items():
            self._publisher.document(project, uri, answer)
        if self.client.refreshes_hints and hints_moved(before, analysis.files):
            self._editor.refresh_hints()
        wants_lenses = self.client.refreshes_lenses and self.preferences.lenses
        if wants_lenses and lenses_moved(before, analysis.files):
            self._editor.refresh_lenses()
